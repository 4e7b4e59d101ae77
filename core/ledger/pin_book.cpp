// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/pin_book.h"

#include "ledger/station_key.h"

#include <QFile>
#include <QJsonDocument>
#include <QLockFile>
#include <algorithm>
#include <array>
#include <sodium.h>

namespace holdfast
{

namespace
{

constexpr int freeTries = 5;
constexpr qint64 firstWaitUs = 60'000'000;
constexpr qint64 longestWaitUs = 3'600'000'000;

Done checkForm(const QString &pin)
{
    const bool digits = std::all_of(pin.begin(), pin.end(), [](QChar c) { return c >= u'0' && c <= u'9'; });
    if (digits && pin.size() >= 4 && pin.size() <= 12 && pin.count(pin.front()) < pin.size())
        return {};
    return fail(ErrorKind::Usage, QStringLiteral("A PIN is 4 to 12 digits, not all the same."));
}

Result<QString> hashOf(const QString &pin)
{
    std::array<char, crypto_pwhash_STRBYTES> text{};
    const QByteArray bytes = pin.toUtf8();
    if (sodium_init() < 0 ||
        crypto_pwhash_str_alg(text.data(), bytes.constData(), static_cast<unsigned long long>(bytes.size()),
                              crypto_pwhash_OPSLIMIT_INTERACTIVE, crypto_pwhash_MEMLIMIT_INTERACTIVE,
                              crypto_pwhash_ALG_ARGON2ID13) != 0)
        return fail(ErrorKind::Internal,
                    QStringLiteral("There is not enough memory to keep the PIN (64 MB are needed)."));
    return QString::fromLatin1(text.data());
}

/// Two names mean one person when they differ only in blanks and capitals, as everywhere in the record: else
/// somebody could set a PIN of their own for another spelling.
QString keyOf(const QString &person)
{
    return person.simplified().toCaseFolded();
}

bool fits(const QString &hash, const QString &pin)
{
    const QByteArray kept = hash.toLatin1();
    const QByteArray bytes = pin.toUtf8();
    return sodium_init() >= 0 && crypto_pwhash_str_verify(kept.constData(), bytes.constData(),
                                                          static_cast<unsigned long long>(bytes.size())) == 0;
}

qint64 wait(int wrong)
{
    qint64 us = firstWaitUs;
    for (int i = freeTries; i < wrong && us < longestWaitUs; ++i)
        us *= 2;
    return std::min(us, longestWaitUs);
}

/// Two programs at one station must not forget each other's wrong tries.
class Alone
{
public:
    explicit Alone(const QString &path) : m_path(path), m_lock(path + QStringLiteral(".lock"))
    {
        m_held = m_lock.tryLock(5000);
    }
    [[nodiscard]] Done held() const
    {
        if (m_held)
            return {};
        if (m_lock.error() == QLockFile::LockFailedError)
            return fail(ErrorKind::Busy, QStringLiteral("Somebody else is just confirming at this station; "
                                                        "try again."));
        return fail(
            ErrorKind::Unwritable,
            QStringLiteral("No PIN can be kept or checked: nothing can be written beside %1. Look whether "
                           "the disk is full or may not be written to, and do it again.")
                .arg(m_path));
    }

private:
    QString m_path;
    QLockFile m_lock;
    bool m_held = false;
};

} // namespace

Result<PinBook> PinBook::open(const QString &publicKey)
{
    // Only a station with its key here has a folder for it.
    if (auto key = StationKey::load(publicKey); !key)
        return key.error();
    PinBook book(stationFolder(publicKey) + QStringLiteral("/pins"));
    if (auto read = book.read(); !read)
        return read.error();
    return book;
}

Done PinBook::read()
{
    const auto bytes = readPrivateFile(m_path);
    if (!bytes)
        return bytes.error().kind == ErrorKind::NotFound ? Done() : Done(bytes.error());
    const QJsonDocument json = QJsonDocument::fromJson(*bytes);
    if (!json.isObject())
        return fail(
            ErrorKind::Malformed,
            QStringLiteral("%1 is damaged; delete it and let everybody set their PIN again.").arg(m_path));
    // Books from before names were compared so may hold two spellings of one: the first set of them counts
    // where that can be told (capitals sort first), and can be forgotten like any other.
    const QJsonObject kept = json.object();
    m_people = {};
    for (auto it = kept.begin(); it != kept.end(); ++it) {
        if (const QString key = keyOf(it.key()); !m_people.contains(key))
            m_people.insert(key, it.value());
    }
    return {};
}

Done PinBook::keep() const
{
    const QString fresh = m_path + QStringLiteral(".new");
    QFile::remove(fresh);
    if (auto written = writePrivateFile(fresh, QJsonDocument(m_people).toJson()); !written)
        return written;
    // Put in place of the old one in one step.
    if (std::rename(QFile::encodeName(fresh).constData(), QFile::encodeName(m_path).constData()) == 0)
        return {};
    return fail(ErrorKind::Unwritable,
                QStringLiteral("%1 can't be written: %2.").arg(m_path, qt_error_string()));
}

bool PinBook::has(const QString &person) const
{
    return m_people.contains(keyOf(person));
}

Done PinBook::check(const QString &person, const QString &pin, UtcTime now)
{
    QJsonObject one = m_people.value(keyOf(person)).toObject();
    if (one.isEmpty())
        return fail(ErrorKind::NotFound,
                    QStringLiteral("%1 has set no PIN at this station (holdfast pin).").arg(person));
    const qint64 until = one.value(QStringLiteral("waitUntilUs")).toInteger();
    if (microsecondsOf(now) < until)
        return fail(ErrorKind::Refused, QStringLiteral("Too many wrong PINs for %1: wait until %2.")
                                            .arg(person, toIso(utcFromMicroseconds(until))));
    const int wrong = one.value(QStringLiteral("wrong")).toInt();
    if (fits(one.value(QStringLiteral("hash")).toString(), pin)) {
        if (wrong == 0)
            return {};
        one.insert(QStringLiteral("wrong"), 0);
        m_people.insert(keyOf(person), one);
        return keep();
    }
    one.insert(QStringLiteral("wrong"), wrong + 1);
    if (wrong + 1 >= freeTries)
        one.insert(QStringLiteral("waitUntilUs"), static_cast<qint64>(microsecondsOf(now)) + wait(wrong + 1));
    m_people.insert(keyOf(person), one);
    if (auto kept = keep(); !kept)
        return kept;
    return fail(ErrorKind::Refused, QStringLiteral("That is not the PIN of %1.").arg(person));
}

Done PinBook::confirm(const QString &person, const QString &pin, UtcTime now)
{
    const Alone alone(m_path);
    if (auto held = alone.held(); !held)
        return held;
    if (auto again = read(); !again)
        return again;
    return check(person, pin, now);
}

Done PinBook::set(const QString &person, const QString &pin, const QString &old, UtcTime now)
{
    if (person.trimmed().isEmpty())
        return fail(ErrorKind::Usage, QStringLiteral("Whose PIN? A name is needed."));
    if (auto good = checkForm(pin); !good)
        return good;
    const Alone alone(m_path);
    if (auto held = alone.held(); !held)
        return held;
    if (auto again = read(); !again)
        return again;
    if (has(person)) {
        if (auto right = check(person, old, now); !right)
            return right;
    }
    const auto hash = hashOf(pin);
    if (!hash)
        return hash.error();
    m_people.insert(keyOf(person),
                    QJsonObject{{QStringLiteral("hash"), *hash}, {QStringLiteral("wrong"), 0}});
    return keep();
}

Done PinBook::forget(const QString &person)
{
    const Alone alone(m_path);
    if (auto held = alone.held(); !held)
        return held;
    if (auto again = read(); !again)
        return again;
    if (!has(person))
        return fail(ErrorKind::NotFound, QStringLiteral("%1 has set no PIN at this station.").arg(person));
    m_people.remove(keyOf(person));
    return keep();
}

} // namespace holdfast
