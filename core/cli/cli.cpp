// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/version.h"
#include "custody/tally.h"
#include "store/sql.h"

#include <QJsonDocument>
#include <algorithm>

namespace holdfast::cli
{

namespace
{

Error usageError(const Verb &verb, const QString &sentence)
{
    return fail(ErrorKind::Usage, QStringLiteral("%1\nUsage: %2").arg(sentence, verb.usage()));
}

QString overview()
{
    QString text = QStringLiteral("Holdfast, the dive sample and specimen chain-of-custody logger.\n\n"
                                  "  holdfast [FILE]          opens the window\n"
                                  "  holdfast VERB --help     explains a verb\n"
                                  "  holdfast --window-help   lists the options of the window\n\n"
                                  "Verbs:\n");
    for (const Verb &verb : verbs())
        text += QStringLiteral("  %1 %2\n").arg(verb.name, -10).arg(verb.summary);
    return text + QStringLiteral("\nExit code: 0 done, 1 the work failed, 2 wrong usage.\n");
}

/// --help among the words; what is the value of a flag asks for nothing.
bool asksForHelp(const Verb &verb, const QStringList &words)
{
    for (qsizetype i = 0; i < words.size(); ++i) {
        if (words.at(i) == QLatin1String("--help") || words.at(i) == QLatin1String("-h"))
            return true;
        const auto flag = std::find_if(verb.flags.begin(), verb.flags.end(), [&](const Flag &f) {
            return QStringLiteral("--") + f.name == words.at(i);
        });
        if (flag != verb.flags.end() && !flag->value.isEmpty())
            ++i;
    }
    return false;
}

} // namespace

Result<int> Arguments::whole(const QString &flag) const
{
    bool good = false;
    const int value = text(flag).toInt(&good);
    if (good)
        return value;
    return fail(ErrorKind::Usage,
                QStringLiteral("--%1 needs a whole number, not \"%2\".").arg(flag, text(flag)));
}

Result<UtcTime> Arguments::time(const QString &flag) const
{
    const auto t = parseIsoUtc(text(flag).toStdString());
    if (t)
        return *t;
    return fail(ErrorKind::Usage,
                QStringLiteral("--%1 needs a UTC time as in 2026-03-12T14:22:07.300Z, not \"%2\".")
                    .arg(flag, text(flag)));
}

QString Arguments::person() const
{
    if (has(QStringLiteral("by")))
        return text(QStringLiteral("by")).simplified();
    const QString account = qEnvironmentVariable("USER", qEnvironmentVariable("LOGNAME"));
    return account.isEmpty() ? QStringLiteral("operator") : account;
}

QString Verb::usage() const
{
    QString text = QStringLiteral("holdfast %1").arg(name);
    for (const QString &word : positional)
        text += QLatin1Char(' ') + word;
    for (const Flag &flag : flags) {
        const QString f = QStringLiteral("--%1%2").arg(
            flag.name, flag.value.isEmpty() ? QString() : QLatin1Char(' ') + flag.value);
        text += flag.required ? QLatin1Char(' ') + f : QStringLiteral(" [%1]").arg(f);
    }
    return text;
}

QString Verb::help() const
{
    QString text = QStringLiteral("%1\n\n%2\n").arg(usage(), summary);
    if (!details.isEmpty())
        text += QLatin1Char('\n') + details + QLatin1Char('\n');
    if (!flags.isEmpty())
        text += QLatin1Char('\n');
    for (const Flag &flag : flags) {
        const QString f = QStringLiteral("--%1 %2").arg(flag.name, flag.value);
        text += QStringLiteral("  %1 %2\n").arg(f, -22).arg(flag.help);
    }
    return text;
}

Result<Arguments> Verb::parse(const QStringList &words) const
{
    Arguments arguments;
    bool onlyPositional = false;
    for (qsizetype i = 0; i < words.size(); ++i) {
        QString word = words.at(i);
        if (word == QLatin1String("--") && !onlyPositional) {
            onlyPositional = true;
            continue;
        }
        if (onlyPositional || !word.startsWith(QLatin1String("--"))) {
            arguments.m_positional << word;
            continue;
        }
        const qsizetype equals = word.indexOf(QLatin1Char('='));
        const QString flagName = equals < 0 ? word.mid(2) : word.mid(2, equals - 2);
        const auto flag = std::find_if(flags.begin(), flags.end(),
                                       [&flagName](const Flag &f) { return f.name == flagName; });
        if (flag == flags.end())
            return usageError(*this, QStringLiteral("There is no flag --%1 for %2.").arg(flagName, name));
        if (arguments.has(flagName))
            return usageError(*this, QStringLiteral("--%1 is given twice.").arg(flagName));
        QString value;
        if (flag->value.isEmpty() && equals >= 0)
            return usageError(*this, QStringLiteral("--%1 takes no value.").arg(flagName));
        if (!flag->value.isEmpty()) {
            if (equals < 0 && i + 1 >= words.size())
                return usageError(*this, QStringLiteral("--%1 needs its %2.").arg(flagName, flag->value));
            value = equals < 0 ? words.at(++i) : word.mid(equals + 1);
        }
        arguments.m_values.insert(flagName, value);
    }
    const bool maybe = !positional.isEmpty() && positional.back().startsWith(QLatin1Char('['));
    const bool many = maybe || (!positional.isEmpty() && positional.back().endsWith(QLatin1String("...")));
    if (arguments.m_positional.size() < positional.size() - (maybe ? 1 : 0))
        return usageError(*this,
                          QStringLiteral("%1 is missing.").arg(positional.at(arguments.m_positional.size())));
    if (!many && arguments.m_positional.size() > positional.size())
        return usageError(
            *this,
            QStringLiteral("\"%1\" is one word too many.").arg(arguments.m_positional.at(positional.size())));
    for (const Flag &flag : flags) {
        if (flag.required && !arguments.has(flag.name))
            return usageError(*this, QStringLiteral("--%1 %2 is missing.").arg(flag.name, flag.value));
    }
    return arguments;
}

int run(const QStringList &words, const World &world)
{
    const QString first = words.value(0);
    if (first.isEmpty() || first == QLatin1String("--help") || first == QLatin1String("-h") ||
        first == QLatin1String("help")) {
        world.out(overview());
        return 0;
    }
    if (first == QLatin1String("--version")) {
        world.out(QStringLiteral("holdfast %1\n").arg(programVersion()));
        return 0;
    }
    const auto verb =
        std::find_if(verbs().begin(), verbs().end(), [&first](const Verb &v) { return v.name == first; });
    if (verb == verbs().end()) {
        world.err(
            QStringLiteral("There is no verb \"%1\", and no file of that name to open. holdfast --help lists "
                           "the verbs.\n")
                .arg(first));
        return 2;
    }
    const QStringList rest = words.mid(1);
    if (asksForHelp(*verb, rest)) {
        world.out(verb->help());
        return 0;
    }
    auto arguments = verb->parse(rest);
    Done done = arguments ? verb->run(*arguments, world) : Done(arguments.error());
    // What a verb made of half of the rows is no result, however well the rest went.
    if (const Done read = takeReadFault(); done && !read)
        done = fail(read.error().kind,
                    QStringLiteral("%1 What was written is not complete.").arg(read.error().sentence));
    if (done)
        return 0;
    if (!done.error().sentence.isEmpty())
        world.err(QStringLiteral("holdfast %1: %2\n").arg(first, done.error().sentence));
    return done.error().kind == ErrorKind::Usage ? 2 : 1;
}

const QList<Verb> &verbs()
{
    static const QList<Verb> all = demoVerbs() + cruiseVerbs() + readyVerbs() + logVerbs() + feedVerbs() +
                                   replayVerbs() + valueVerbs() + refixVerbs() + recoveryVerbs() +
                                   specimenVerbs() + holdingVerbs() + handOverVerbs() + custodyListVerbs() +
                                   findVerbs() + paperVerbs() + exchangeVerbs() + pinVerbs() + auditVerbs() +
                                   handoffVerbs() + indexVerbs() + calcVerbs();
    return all;
}

Result<CruiseFile> openForReading(const QString &path)
{
    return CruiseFile::open(path, Database::Access::ReadOnly, allVerbRules());
}

Result<CruiseFile> openForWriting(const QString &path)
{
    return CruiseFile::open(path, Database::Access::ReadWrite, allVerbRules());
}

Result<OpenDive> openDive(const Arguments &arguments, Database::Access access)
{
    const auto dive = arguments.whole(QStringLiteral("dive"));
    if (!dive)
        return dive.error();
    auto file = CruiseFile::open(arguments.positional().at(0), access, allVerbRules());
    if (!file)
        return file.error();
    if (auto known = readDive(file->db(), *dive); !known)
        return known.error();
    return OpenDive{std::move(*file), *dive};
}

void tell(const World &world, const Arguments &arguments, const QString &sentence)
{
    if (arguments.text(QStringLiteral("out")) != QLatin1String("-"))
        world.out(sentence);
}

void outJson(const World &world, const QJsonObject &object)
{
    world.out(QString::fromUtf8(QJsonDocument(object).toJson(QJsonDocument::Compact)) + QLatin1Char('\n'));
}

Flag byFlag()
{
    return {QStringLiteral("by"), QStringLiteral("PERSON"),
            QStringLiteral("who acts; without it the name of the account")};
}

Flag diveFlag()
{
    return {QStringLiteral("dive"), QStringLiteral("N"), QStringLiteral("the dive's number"), true};
}

Flag jsonFlag()
{
    return {QStringLiteral("json"), QString(), QStringLiteral("print one JSON object instead of sentences")};
}

} // namespace holdfast::cli
