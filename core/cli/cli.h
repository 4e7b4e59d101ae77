// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"
#include "base/utc_time.h"
#include "dive/cruise_file.h"

#include <QByteArray>
#include <QHash>
#include <QJsonObject>
#include <QStringList>
#include <functional>
#include <optional>

namespace holdfast::cli
{

/// The world a verb works in; tests give their own.
struct World {
    std::function<void(const QString &)> out; ///< results and acknowledgements
    std::function<void(const QString &)> err; ///< errors and warnings
    std::function<QByteArray()> in;           ///< all of standard input
    std::function<UtcTime()> now;
};

/// A flag of a verb: "--slot SLOT". Without `value` it is a switch.
struct Flag {
    QString name;
    QString value;
    QString help;
    bool required = false;
};

/// The words after the verb, sorted out.
class Arguments
{
public:
    [[nodiscard]] const QStringList &positional() const { return m_positional; }
    [[nodiscard]] bool has(const QString &flag) const { return m_values.contains(flag); }
    [[nodiscard]] QString text(const QString &flag, const QString &otherwise = {}) const
    {
        return m_values.value(flag, otherwise);
    }
    /// A whole number; Error Usage with the flag's name for anything else.
    [[nodiscard]] Result<int> whole(const QString &flag) const;
    /// An ISO 8601 UTC time; Error Usage with an example for anything else.
    [[nodiscard]] Result<UtcTime> time(const QString &flag) const;
    /// The person who acts: --by, else the name of the account.
    [[nodiscard]] QString person() const;

private:
    friend struct Verb;
    QStringList m_positional;
    QHash<QString, QString> m_values;
};

/// One verb of the command line.
struct Verb {
    QString name;
    /// "FILE"; the last may end in "..." for one or more, or be "[ID...]" for none or more.
    QStringList positional;
    QList<Flag> flags;
    QString summary;
    QString details; ///< more lines for --help
    std::function<Done(const Arguments &, const World &)> run;

    [[nodiscard]] QString usage() const;
    [[nodiscard]] QString help() const;
    /// Error Usage for an unknown flag, a missing one, a flag without its value, too few or too many words.
    [[nodiscard]] Result<Arguments> parse(const QStringList &words) const;
};

/// Every verb, in the order of the work.
[[nodiscard]] const QList<Verb> &verbs();

// One function a file of verbs.
[[nodiscard]] QList<Verb> demoVerbs();
[[nodiscard]] QList<Verb> cruiseVerbs();
[[nodiscard]] QList<Verb> readyVerbs();
[[nodiscard]] QList<Verb> logVerbs();
[[nodiscard]] QList<Verb> feedVerbs();
[[nodiscard]] QList<Verb> replayVerbs();
[[nodiscard]] QList<Verb> valueVerbs();
[[nodiscard]] QList<Verb> refixVerbs();
[[nodiscard]] QList<Verb> paperVerbs();
[[nodiscard]] QList<Verb> labelVerbs();
[[nodiscard]] QList<Verb> recoveryVerbs();
[[nodiscard]] QList<Verb> specimenVerbs();
[[nodiscard]] QList<Verb> holdingVerbs();
[[nodiscard]] QList<Verb> handOverVerbs();
[[nodiscard]] QList<Verb> custodyListVerbs();
[[nodiscard]] QList<Verb> findVerbs();
[[nodiscard]] QList<Verb> calcVerbs();
[[nodiscard]] QList<Verb> exchangeVerbs();
[[nodiscard]] QList<Verb> pinVerbs();
[[nodiscard]] QList<Verb> auditVerbs();
[[nodiscard]] QList<Verb> handoffVerbs();
[[nodiscard]] QList<Verb> indexVerbs();

/// Runs one command line; the words after the program's name. @return the exit code: 0 done, 1 failed, 2
/// wrong usage.
[[nodiscard]] int run(const QStringList &words, const World &world);

/// Opens the cruise file of a verb.
[[nodiscard]] Result<CruiseFile> openForReading(const QString &path);
[[nodiscard]] Result<CruiseFile> openForWriting(const QString &path);

/// The cruise file and the dive (--dive) that a verb is about; the dive is known to be in the file.
struct OpenDive {
    CruiseFile file;
    int dive;
};
[[nodiscard]] Result<OpenDive> openDive(const Arguments &arguments, Database::Access access);

/// An acknowledgement, unless the paper itself (--out -) goes to standard output.
void tell(const World &world, const Arguments &arguments, const QString &sentence);

/// Prints one JSON object on one line.
void outJson(const World &world, const QJsonObject &object);

/// "--by PERSON", shared by the verbs that write.
[[nodiscard]] Flag byFlag();
[[nodiscard]] Flag diveFlag();
[[nodiscard]] Flag jsonFlag();

} // namespace holdfast::cli
