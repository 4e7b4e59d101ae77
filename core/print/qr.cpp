// SPDX-License-Identifier: GPL-3.0-or-later
#include "print/qr.h"

#include <cmath>
#include <memory>
#include <qrencode.h>

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

QrFit place(QrSymbol symbol, const QrSpace &space)
{
    const int side = symbol.modules + 2 * qrQuietModules;
    // A space given as 12.7 mm must not lose a dot to the last bit of its binary fraction.
    const double dots = space.sideMm * space.printerDpi / 25.4 + 1e-6;
    QrFit fit;
    fit.dotsPerModule = static_cast<int>(std::floor(dots / side));
    fit.moduleMm = fit.dotsPerModule * 25.4 / space.printerDpi;
    fit.sideMm = fit.moduleMm * side;
    fit.tooFine = fit.dotsPerModule < qrSmallestDots || fit.moduleMm < qrSmallestModuleMm;
    fit.symbol = std::move(symbol);
    return fit;
}

bool comfortable(const QrFit &fit)
{
    return fit.dotsPerModule >= qrComfortableDots && fit.moduleMm >= qrComfortableModuleMm;
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
    auto smallest = encodeQr(text);
    if (!smallest)
        return smallest.error();
    for (const QrLevel level : {QrLevel::H, QrLevel::Q}) {
        if (level <= smallest->level)
            break;
        auto stronger = encodeQr(text, level);
        if (!stronger)
            continue;
        QrFit fit = place(std::move(*stronger), space);
        if (comfortable(fit))
            return fit;
    }
    QrFit fit = place(std::move(*smallest), space);
    if (fit.dotsPerModule < 1)
        return fail(
            ErrorKind::Refused,
            QStringLiteral("The code of \"%1\" needs %2 dots a side with its quiet zone; %3 mm at %4 dpi "
                           "are fewer.")
                .arg(text)
                .arg(fit.symbol.modules + 2 * qrQuietModules)
                .arg(space.sideMm)
                .arg(space.printerDpi));
    return fit;
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
