// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/check_character.h"

namespace holdfast
{

std::optional<QChar> checkCharacter(QStringView id)
{
    int p = 0;
    bool any = false;
    for (const QChar character : id) {
        const char16_t c = character.toUpper().unicode();
        int value = 0;
        if (c >= u'0' && c <= u'9')
            value = c - u'0';
        else if (c >= u'A' && c <= u'Z')
            value = c - u'A' + 10;
        else if (c == u'-' || c == u'.' || c == u' ')
            continue;
        else
            return {};
        any = true;
        p = (p + value) * 2 % 37;
    }
    if (!any)
        return {};
    const int check = (37 + 1 - p) % 37;
    if (check == 36)
        return u'*';
    return QChar(check < 10 ? u'0' + check : u'A' + check - 10);
}

bool checkCharacterHolds(QStringView id, QChar check)
{
    const auto expected = checkCharacter(id);
    return expected && *expected == check.toUpper();
}

} // namespace holdfast
