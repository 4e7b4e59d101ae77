// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <tl/expected.hpp>

namespace holdfast
{

/// What kind of thing went wrong: for code that must decide. People read Error::sentence.
enum class ErrorKind {
    Usage,      ///< the caller asked for something that makes no sense: a wrong flag, a number out of range
    NotFound,   ///< a file, template, dive, slot or sample that is not there
    Unreadable, ///< there, but not readable: a folder, no permission, not text, not a cruise file
    Unwritable, ///< cannot be written: read-only, disk full
    Malformed,  ///< read, but its content is not what was expected
    Refused,    ///< a rule of collecting or custody forbids it
    Duplicate,  ///< already there
    Busy,       ///< held by another process
    TooNew,     ///< written by a later version of the program
    Tampered,   ///< the proof does not hold
    Cancelled,  ///< a person stopped it
    Internal,   ///< a fault of the program itself
};

/// An error is a value: a kind for code and a sentence that a person can act on.
/// The sentence names what was read, where, and what was expected. whileDoing() puts the larger task in front
/// of it.
struct Error {
    ErrorKind kind = ErrorKind::Internal;
    QString sentence;

    /// The same error told from one step further out: "<doing>: <sentence>".
    [[nodiscard]] Error whileDoing(const QString &doing) const;
};

/// A value or an Error; the compiler complains when it is dropped unread.
template <typename T>
class [[nodiscard]] Result : public tl::expected<T, Error>
{
public:
    using tl::expected<T, Error>::expected;
    Result(const Error &error) : tl::expected<T, Error>(tl::unexpect, error) {}
    Result(Error &&error) : tl::expected<T, Error>(tl::unexpect, std::move(error)) {}
};

/// The outcome of an action that gives nothing back but may fail.
using Done = Result<void>;

[[nodiscard]] inline Error fail(ErrorKind kind, QString sentence)
{
    return Error{kind, std::move(sentence)};
}

} // namespace holdfast
