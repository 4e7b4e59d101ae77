// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "custody/specimens.h"
#include "custody/tally.h"
#include "exchange/conflicts.h"
#include "exchange/take_in.h"
#include "ledger/verify.h"
#include "support/a_cruise.h"

#include <map>

namespace holdfast::test
{

/// Three stations of one cruise: the van that began it, the deck and the lab that joined before the dive's
/// first sample. Each has a file of its own; files of exchange go between them.
class Stations : public WithCruise
{
protected:
    VerbRules rules() const override { return allVerbRules(); }

    void SetUp() override
    {
        WithCruise::SetUp();
        stations.emplace("van", std::move(*m_file));
        m_file.reset();
        join("deck");
        join("lab");
    }
    void join(const char *name)
    {
        const QString copy = path(QString::fromLatin1(name) + QStringLiteral(".hfc"));
        ASSERT_OK(execSql(at("van").db().connection(), QStringLiteral("VACUUM INTO ?"), {copy}));
        auto made = CruiseFile::becomeStation(copy, QString::fromLatin1(name), act(), 0, rules());
        ASSERT_OK(made);
        keys << keyOf(*made, QString::fromLatin1(name));
        stations.emplace(name, std::move(*made));
    }
    static QString keyOf(const CruiseFile &file, const QString &name)
    {
        auto row = query(file.db().connection(),
                         QStringLiteral("SELECT public_key FROM station WHERE name=?"), {name});
        return row && row->next() ? row->text(0) : QString();
    }
    CruiseFile &at(const std::string &name) { return stations.at(name); }

    Result<ExchangeFile> from(const std::string &name, const char *to = nullptr)
    {
        // Without having heard of a station everything is given to it.
        const auto heads = chainHeads(at(name).db());
        const bool known = to && heads && heads->contains(QString::fromLatin1(to));
        return gatherExchange(at(name).db(), QString::fromStdString(name), m_now,
                              known ? std::optional(QString::fromLatin1(to)) : std::nullopt);
    }
    Result<TakenIn> give(const std::string &giver, const std::string &taker)
    {
        const auto x = from(giver);
        if (!x)
            return x.error();
        const auto bytes = exchangeBytes(*x);
        if (!bytes)
            return bytes.error();
        const auto read = readExchange(*bytes, QStringLiteral("x.hfx"));
        if (!read)
            return read.error();
        return takeIn(at(taker), *read, keys);
    }
    /// Until everybody has everything.
    void exchangeAll()
    {
        for (const auto &[giver, taker] : std::vector<std::pair<const char *, const char *>>{
                 {"deck", "van"}, {"lab", "van"}, {"van", "deck"}, {"van", "lab"}})
            ASSERT_OK(give(giver, taker));
    }
    Result<LoggedSample> log(const std::string &name, const char *slot, const char *kind)
    {
        SampleDetails d;
        d.slot = QString::fromLatin1(slot);
        d.kind = QString::fromLatin1(kind);
        const Act a = act();
        return stampSample(at(name), a, 1, a.now, d, m_kinds);
    }
    Done note(const std::string &name, const QString &id, const char *text)
    {
        return amendSample(at(name), act(), id, {{QStringLiteral("description"), QString::fromLatin1(text)}},
                           QStringLiteral("seen on deck"), m_kinds);
    }
    QString description(const std::string &name, const QString &id)
    {
        const auto all = readSamples(at(name).db(), 1);
        if (!all)
            return all.error().sentence;
        for (const SampleInfo &s : *all) {
            if (s.id == id)
                return s.description;
        }
        return QStringLiteral("no such sample");
    }

    /// Every row of every table that all stations must agree on, one line each, sorted.
    static QStringList dump(const CruiseFile &file)
    {
        QStringList lines;
        auto tables = query(file.db().connection(),
                            QStringLiteral("SELECT name FROM sqlite_master WHERE type='table'"));
        while (tables && tables->next()) {
            const QString name = tables->text(0);
            if (name == QLatin1String("installation") || name.startsWith(QLatin1String("log_")) ||
                name.startsWith(QLatin1String("sqlite_")) || name.startsWith(QLatin1String("find_")))
                continue;
            auto columns = query(file.db().connection(),
                                 QStringLiteral("SELECT count(*) FROM pragma_table_info('%1')").arg(name));
            const int n = columns && columns->next() ? static_cast<int>(columns->integer(0)) : 0;
            auto rows = query(file.db().connection(), QStringLiteral("SELECT * FROM %1").arg(name));
            while (rows && rows->next()) {
                QString line = name;
                for (int i = 0; i < n; ++i)
                    line += QLatin1Char('|') + (rows->isNull(i) ? QStringLiteral("null") : rows->text(i));
                lines << line;
            }
        }
        lines.sort();
        return lines;
    }
    static QStringList conflictsOf(const CruiseFile &file)
    {
        const auto open = openConflicts(file.db());
        if (!open)
            return {open.error().sentence};
        QStringList all;
        for (const Conflict &c : *open) {
            all << c.key + QLatin1Char(' ') + c.about;
            for (const ConflictSide &s : c.sides)
                all.back() += QStringLiteral(" | ") + s.station + QLatin1Char(' ') + s.says;
        }
        return all;
    }
    static QStringList abouts(const CruiseFile &file)
    {
        const auto open = openConflicts(file.db());
        QStringList all;
        if (open) {
            for (const Conflict &c : *open)
                all << c.about;
        }
        return all;
    }
    void expectAllTheSame()
    {
        const QStringList van = dump(at("van"));
        for (const char *other : {"deck", "lab"}) {
            const QStringList theirs = dump(at(other));
            ASSERT_EQ(van.size(), theirs.size()) << other;
            for (qsizetype i = 0; i < van.size(); ++i)
                ASSERT_EQ(van.at(i).toStdString(), theirs.at(i).toStdString()) << other;
            ASSERT_EQ(conflictsOf(at("van")).join(QLatin1Char('\n')).toStdString(),
                      conflictsOf(at(other)).join(QLatin1Char('\n')).toStdString());
        }
        for (const auto &[name, file] : stations) {
            const auto proof = verifyLedger(file.db());
            ASSERT_OK(proof);
            ASSERT_TRUE(proof->holds()) << name << ": " << proof->faults.front().why.toStdString();
            const auto differ = compareTablesWithLedger(file.db(), rules());
            ASSERT_OK(differ);
            ASSERT_TRUE(differ->isEmpty()) << name << ": " << differ->join(QLatin1Char('\n')).toStdString();
        }
    }

    std::map<std::string, CruiseFile> stations;
    QStringList keys; ///< of deck and lab, as people have compared them
};

} // namespace holdfast::test
