// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/one_line.h"

#include <algorithm>

namespace holdfast
{

bool isOneLine(const QString &text, qsizetype longest)
{
    return text.size() <= longest && std::none_of(text.begin(), text.end(), [](QChar c) {
               return c.category() == QChar::Other_Control || c.category() == QChar::Separator_Line ||
                      c.category() == QChar::Separator_Paragraph;
           });
}

Done wantOneLine(const QString &text, const QString &what, qsizetype longest)
{
    if (isOneLine(text, longest))
        return {};
    return fail(ErrorKind::Usage,
                QStringLiteral("%1 must be one line of at most %2 characters.").arg(what).arg(longest));
}

} // namespace holdfast
