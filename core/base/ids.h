// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QString>

namespace holdfast
{

/// How a cruise numbers its samples. The default gives "TK26-04-017": cruise, dive in two digits or more,
/// sample in three or more. `{cruise}`, `{dive:N}` and `{sample:N}` must each stand once; all other
/// characters must be capital letters, digits, '-' or '.', which fit the alphanumeric mode of a QR code and
/// the names of files everywhere.
class IdPattern
{
public:
    [[nodiscard]] static Result<IdPattern> fromText(const QString &text);
    [[nodiscard]] static IdPattern standard();

    [[nodiscard]] QString sampleId(const QString &cruise, int dive, int number) const;
    [[nodiscard]] QString text() const { return m_text; }

private:
    explicit IdPattern(QString text) : m_text(std::move(text)) {}
    QString m_text;
};

/// A cruise code: 2 to 16 characters, capital letters, digits and '-', beginning with a letter or digit.
[[nodiscard]] Done checkCruiseCode(const QString &code);

/// The id of part `number` (from 1) of a sample or specimen: "TK26-04-017" gives "TK26-04-017.2".
[[nodiscard]] QString partId(const QString &parent, int number);

/// What is printed and put into the QR code: the id, '*', its check character (see check_character.h).
/// The id must hold only capital letters, digits, '-' and '.'.
[[nodiscard]] QString printedId(const QString &id);

/// An id as typed or scanned: capitals made of small letters, blanks at the ends dropped, the check character
/// (when there is one) checked and taken off. `checked` says whether there was one.
struct ReadId {
    QString id;
    bool checked = false;
};
/// Error Malformed with a sentence when the check character is wrong or a character can't be part of an id.
[[nodiscard]] Result<ReadId> readPrintedId(const QString &text);

/// A new random UUID (RFC 4122 version 4), 36 characters in small letters without braces.
[[nodiscard]] QString newUuid();

} // namespace holdfast
