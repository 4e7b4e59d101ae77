// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/qr.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <qrencode.h>
#include <tuple>

namespace holdfast
{

namespace
{

constexpr std::array levels{QrLevel::L, QrLevel::M, QrLevel::Q, QrLevel::H};

QRecLevel toLibrary(QrLevel level)
{
    switch (level) {
    case QrLevel::L:
        return QR_ECLEVEL_L;
    case QrLevel::M:
        return QR_ECLEVEL_M;
    case QrLevel::Q:
        return QR_ECLEVEL_Q;
    case QrLevel::H:
        return QR_ECLEVEL_H;
    }
    return QR_ECLEVEL_M;
}

Done checkText(const QString &text)
{
    if (text.isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("A code was asked for without a text to put into it."));
    static const QString allowed = QStringLiteral("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:");
    for (const QChar c : text) {
        if (!allowed.contains(c))
            return fail(ErrorKind::Usage,
                        QStringLiteral("\"%1\" can't be put into a code: \"%2\" is not one of the capital "
                                       "letters, digits and $ % * + - . / : that it may hold.")
                            .arg(text, QString(c)));
    }
    return {};
}

struct InputDeleter {
    void operator()(QRinput *p) const { QRinput_free(p); }
};
struct CodeDeleter {
    void operator()(QRcode *p) const { QRcode_free(p); }
};

/// One code of exactly this level, the smallest version from `version` on (0: the smallest of all).
Result<QrSymbol> encodeAt(const QString &text, QrLevel level, int version = 0)
{
    const QByteArray bytes = text.toLatin1();
    const std::unique_ptr<QRinput, InputDeleter> input(QRinput_new2(version, toLibrary(level)));
    const bool filled =
        input && QRinput_append(input.get(), QR_MODE_AN, static_cast<int>(bytes.size()),
                                reinterpret_cast<const unsigned char *>(bytes.constData())) == 0;
    const std::unique_ptr<QRcode, CodeDeleter> code(filled ? QRcode_encodeInput(input.get()) : nullptr);
    if (!code)
        return fail(ErrorKind::Usage,
                    QStringLiteral("A text of %1 characters is too long for one code: \"%2...\".")
                        .arg(text.size())
                        .arg(text.left(40)));
    QrSymbol symbol{.version = code->version, .level = level, .modules = code->width, .dark = {}};
    const auto count = static_cast<std::size_t>(code->width) * static_cast<std::size_t>(code->width);
    symbol.dark.reserve(count);
    for (std::size_t i = 0; i < count; ++i)
        symbol.dark.push_back((code->data[i] & 1) != 0);
    return symbol;
}

constexpr int largestUsefulVersion = 5; // beyond it damage is survived no better (core/print/README.md)

struct Choice {
    int version = 0;
    QrLevel level = QrLevel::M;
    int dots = 0; ///< printer dots a module
    double moduleMm = 0;

    [[nodiscard]] bool within() const { return dots >= qrSmallestDots && moduleMm >= qrSmallestModuleMm; }
    [[nodiscard]] bool comfortable() const
    {
        return dots >= qrComfortableDots && moduleMm >= qrComfortableModuleMm;
    }
};

Choice choiceOf(int version, QrLevel level, const QrSpace &space)
{
    const int side = 17 + 4 * version + 2 * qrQuietModules;
    // A space given as 12.7 mm must not lose a dot to the last bit of its binary fraction.
    const double dots = std::floor((space.sideMm * space.printerDpi / 25.4 + 1e-6) / side);
    return Choice{.version = version,
                  .level = level,
                  .dots = static_cast<int>(dots),
                  .moduleMm = dots * 25.4 / space.printerDpi};
}

/// The order of preference that fitQr documents; true when `a` is better.
bool better(const Choice &a, const Choice &b)
{
    const auto rank = [](const Choice &c) {
        if (c.level != QrLevel::H || !c.within())
            return 0;
        return c.comfortable() ? 2 : 1;
    };
    if (rank(a) != rank(b))
        return rank(a) > rank(b);
    if (rank(a) == 2)
        return a.version > b.version;
    if (a.dots != b.dots)
        return a.dots > b.dots;
    return a.level != b.level ? a.level > b.level : a.version > b.version;
}

Result<Choice> choose(const QString &text, const QrSpace &space)
{
    std::optional<Choice> best;
    for (const QrLevel level : {QrLevel::M, QrLevel::Q, QrLevel::H}) {
        auto smallest = encodeAt(text, level);
        if (!smallest && level == QrLevel::M)
            return smallest.error();
        if (!smallest)
            break;
        const int last = std::max(smallest->version, largestUsefulVersion);
        for (int version = smallest->version; version <= last; ++version) {
            const Choice choice = choiceOf(version, level, space);
            if (!best || better(choice, *best))
                best = choice;
        }
    }
    return *best;
}

/// choose() remembered: in one mode the choice depends on the length of the text alone, and a sheet asks for
/// the same one hundreds of times.
Result<Choice> remembered(const QString &text, const QrSpace &space)
{
    thread_local std::map<std::tuple<qsizetype, double, int>, Choice> known;
    const std::tuple key{text.size(), space.sideMm, space.printerDpi};
    if (const auto found = known.find(key); found != known.end())
        return found->second;
    auto choice = choose(text, space);
    if (choice && known.size() < 1000)
        known.emplace(key, *choice);
    return choice;
}

} // namespace

QString qrLevelName(QrLevel level)
{
    static constexpr std::array<char16_t, 4> names{u'L', u'M', u'Q', u'H'};
    return QString(QChar(names[static_cast<std::size_t>(level)]));
}

Result<QrSymbol> encodeQr(const QString &text, QrLevel atLeast)
{
    if (auto good = checkText(text); !good)
        return good.error();
    auto best = encodeAt(text, atLeast);
    if (!best)
        return best;
    for (const QrLevel level : levels) {
        if (level <= atLeast)
            continue;
        auto stronger = encodeAt(text, level);
        if (!stronger || stronger->version > best->version)
            break;
        best = std::move(stronger);
    }
    return best;
}

Result<QrFit> fitQr(const QString &text, const QrSpace &space)
{
    if (!(space.sideMm > 0 && space.sideMm < 2000) || space.printerDpi < 72 || space.printerDpi > 4800)
        return fail(ErrorKind::Usage,
                    QStringLiteral("A code can't be fitted into %1 mm at %2 dpi: the side must be above 0 mm "
                                   "and the printer between 72 and 4800 dpi.")
                        .arg(space.sideMm)
                        .arg(space.printerDpi));
    if (auto good = checkText(text); !good)
        return good.error();
    const auto choice = remembered(text, space);
    if (!choice)
        return choice.error();
    if (choice->dots < 1)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("the code of \"%1\" needs %2 dots a side with its quiet zone; %3 mm at %4 dpi are "
                           "fewer")
                .arg(text)
                .arg(17 + 4 * choice->version + 2 * qrQuietModules)
                .arg(space.sideMm)
                .arg(space.printerDpi));
    auto symbol = encodeAt(text, choice->level, choice->version);
    if (!symbol)
        return symbol.error();
    const double sideMm = choice->moduleMm * (symbol->modules + 2 * qrQuietModules);
    return QrFit{.symbol = std::move(*symbol),
                 .dotsPerModule = choice->dots,
                 .moduleMm = choice->moduleMm,
                 .sideMm = sideMm,
                 .tooFine = !choice->within()};
}

QString whyTooFine(const QrFit &fit, int printerDpi)
{
    if (!fit.tooFine)
        return {};
    return QStringLiteral("a module would be %1 %2 (%3 mm) at %4 dpi; %5 dots and %6 mm are needed")
        .arg(fit.dotsPerModule)
        .arg(fit.dotsPerModule == 1 ? QStringLiteral("dot") : QStringLiteral("dots"))
        .arg(fit.moduleMm, 0, 'f', 2)
        .arg(printerDpi)
        .arg(qrSmallestDots)
        .arg(qrSmallestModuleMm, 0, 'f', 2);
}

} // namespace holdfast
