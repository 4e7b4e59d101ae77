// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/tag_text.h"

#include <QStringDecoder>

namespace holdfast
{

namespace
{

constexpr qsizetype pieceBytes = qsizetype{1} << 16;

} // namespace

bool isKnownEncoding(const QByteArray &name)
{
    return QStringDecoder(name.constData()).isValid();
}

Result<QByteArray> tagTextInUtf8(const QByteArray &bytes, const QByteArray &encoding)
{
    const QByteArray name = encoding.isEmpty() ? QByteArray("UTF-8") : encoding;
    QStringDecoder decoder(name.constData());
    QString all;
    // In pieces, so that a long manifest in UTF-8 is not held three times.
    for (qsizetype at = 0; at < bytes.size(); at += pieceBytes) {
        const QString text =
            decoder.decode(QByteArrayView(bytes).sliced(at, std::min(pieceBytes, bytes.size() - at)));
        if (!encoding.isEmpty())
            all += text;
    }
    if (decoder.hasError())
        return fail(ErrorKind::Malformed,
                    QStringLiteral("is not in the encoding that bagit.txt declares, %1.")
                        .arg(QString::fromLatin1(name)));
    return encoding.isEmpty() ? bytes : all.toUtf8();
}

} // namespace holdfast
