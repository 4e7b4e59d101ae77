// SPDX-License-Identifier: GPL-3.0-or-later
// The first page of a search among 150 000 invented specimens: the word index beside a plain scan with LIKE
// over the same rows in the same run. Prints a table of quantiles in milliseconds, and the cost of keeping
// the index.
#include "custody/find.h"

#include <QCoreApplication>
#include <QDir>
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>

using namespace holdfast;

namespace
{

using Clock = std::chrono::steady_clock;
constexpr int specimens = 150000;

double ms(Clock::time_point start)
{
    return std::chrono::duration<double, std::milli>(Clock::now() - start).count();
}

QString t(const char *text)
{
    return QString::fromUtf8(text);
}

/// Samples, specimens, places and holders, in bulk: the triggers that keep the index would be most of the
/// time.
Done fill(const Database &db)
{
    const QSqlDatabase &c = db.connection();
    auto names = query(c, t("SELECT name FROM sqlite_master WHERE type='trigger' AND name<>'find_added'"));
    if (!names)
        return names.error();
    QStringList sql;
    while (names->next())
        sql << t("DROP TRIGGER ") + names->text(0);
    names->reset();
    const QString count = QString::number(specimens);
    sql << t("PRAGMA foreign_keys=OFF") << t("BEGIN")
        << t("INSERT INTO dive (number, uuid, vehicle, loadout, loadout_json, planned_us) WITH RECURSIVE "
             "k(i) AS (SELECT 1 UNION ALL "
             "SELECT i+1 FROM k WHERE i<300) SELECT i, 'd'||i, 'v', 'l', '{}', 0 FROM k")
        << t("INSERT INTO sample SELECT printf('TK26-%02d-%03d', 1+i/100, i%100), 's'||i, 1+i/100, 1+i%100, "
             "'st'||i, i*60000000, NULL, "
             "CASE i%5 WHEN 0 THEN 'basalt' WHEN 1 THEN 'octocoral' WHEN 2 THEN 'push core' WHEN 3 THEN "
             "'sponge' ELSE 'water' END, "
             "'biology', 1, 'invented number '||i, 'port arm', 'Teo', '', 'Mara', 'held', '[]' FROM (WITH "
             "RECURSIVE k(i) AS (SELECT 0 "
             "UNION ALL SELECT i+1 FROM k WHERE i<29999) SELECT i FROM k)")
        << t("INSERT INTO specimen (id, uuid, sample, parent, number, material, purpose, count, mass_g, "
             "size_mm, "
             "description, found_on, relation, from_us, to_us, by_whom, time_us) SELECT s.id||'.'||j, "
             "s.id||'u'||j, s.id, s.id, j, CASE (rowid_+j)%4 WHEN "
             "0 THEN 'tissue' WHEN 1 THEN "
             "'skeleton' WHEN 2 THEN 'sediment' ELSE 'rock slice' END, CASE (rowid_+j)%3 WHEN 0 THEN 'DNA' "
             "WHEN 1 THEN 'morphology' ELSE "
             "'chemistry' END, 1, '', '', 'piece '||((rowid_*7+j)%9973), '', '', NULL, NULL, 'Ana', "
             "s.time_us+j FROM (SELECT id, time_us, "
             "row_number() OVER (ORDER BY id) AS rowid_ FROM sample) s, (SELECT 1 AS j UNION SELECT 2 UNION "
             "SELECT 3 UNION SELECT 4 UNION "
             "SELECT 5)")
        << t("INSERT INTO storage SELECT 'e'||id, 1, id, 'ship/lab '||(number%3)||'/freezer "
             "'||(number%4)||'/box '||(time_us/1000000%500), "
             "'-20', '', 'Ana', time_us+9 FROM specimen")
        << t("INSERT INTO custody_event SELECT 'c'||id, id, 1, 'accepted', 'o', CASE time_us/1000000%7 WHEN "
             "0 THEN 'Ben Invented' WHEN 1 THEN "
             "'Eva Invented' ELSE 'Ana Invented' END, 'Ito', '', 'held', '', '', 'Ana', time_us+99 FROM "
             "specimen")
        // The holder and the place that count are the latest in the order of the ledger.
        << t("INSERT INTO ledger (station, seq, lamport, uuid, time_us, actor, verb, body, prev, hash) "
             "SELECT 'bench', row_number() OVER (), row_number() OVER (), entry, time_us, 'Ana', "
             "'bench.made', '{}', '', '' FROM (SELECT entry, time_us FROM storage UNION ALL "
             "SELECT entry, time_us FROM custody_event)")
        << t("INSERT INTO find_item (id, sample, dive, slot, what, names, words, place, holder, state) "
             "SELECT id, sample, dive, slot, what, "
             "names, words, place, holder, state FROM find_source")
        << t("COMMIT");
    for (const QString &statement : sql) {
        if (auto done = execSql(c, statement); !done)
            return done;
    }
    return {};
}

struct Times {
    double p50 = 0, p99 = 0, most = 0;
    int found = 0;
};

Result<Times> measure(int rounds, const std::function<Result<int>()> &step)
{
    std::vector<double> all;
    Times times;
    for (int i = 0; i < rounds; ++i) {
        const auto start = Clock::now();
        const auto found = step();
        if (!found)
            return found.error();
        times.found = *found;
        all.push_back(ms(start));
    }
    std::sort(all.begin(), all.end());
    times.p50 = all[all.size() / 2];
    times.p99 = all[all.size() * 99 / 100];
    times.most = all.back();
    return times;
}

/// The reference: every word anywhere in the row.
Result<int> scan(const Database &db, const QString &text)
{
    QString sql = t(
        "SELECT n, id, sample, dive, slot, what, names, words, place, holder, state FROM find_item WHERE 1");
    QVariantList values;
    for (const QString &word : text.split(QLatin1Char(' '))) {
        sql += t(" AND id||' '||slot||' '||what||' '||names||' '||words||' '||place||' '||holder||' '||state "
                 "LIKE ?");
        values << QVariant(QLatin1Char('%') + word + QLatin1Char('%'));
    }
    auto rows = Statement::prepare(db.connection(), sql + t(" ORDER BY n LIMIT 50"));
    if (!rows)
        return rows.error();
    if (auto done = rows->run(values); !done)
        return done.error();
    int found = 0;
    while (rows->next())
        ++found;
    return found;
}

Done run(const QString &folder)
{
    auto db = Database::create(folder + t("/find.hfc"));
    if (!db)
        return db.error();
    const auto begun = Clock::now();
    if (auto done = fill(*db); !done)
        return done;
    std::printf("%d specimens and their index made in %.1f s\n\n", specimens, ms(begun) / 1000);
    std::printf(
        "| words | rows of the page | index p50 | p99 | max | LIKE scan p50 |\n|---|---|---|---|---|---|\n");
    const HoldingRules none;
    for (const char *text : {"TK26-250-042", "freezer", "tissue DNA ben", "box 317 eva", "piece 4711",
                             "octocoral lab 2 morphology", "nothingofthekind"}) {
        FindQuery query;
        query.text = t(text);
        const auto index = measure(200, [&]() -> Result<int> {
            const auto found = findItems(*db, query, none, {});
            if (!found)
                return found.error();
            return static_cast<int>(found->size());
        });
        if (!index)
            return index.error();
        const auto plain = measure(7, [&] { return scan(*db, query.text); });
        if (!plain)
            return plain.error();
        std::printf("| %s | %d | %.2f | %.2f | %.2f | %.1f |\n", text, index->found, index->p50, index->p99,
                    index->most, plain->p50);
    }
    return {};
}

} // namespace

int main(int argc, char **argv)
{
    QCoreApplication app(argc, argv);
    if (argc != 2 || !QDir().mkpath(QString::fromLocal8Bit(argv[1]))) {
        std::fprintf(stderr, "usage: find_bench FOLDER\n");
        return 2;
    }
    if (auto done = run(QString::fromLocal8Bit(argv[1])); !done) {
        std::fprintf(stderr, "%s\n", qPrintable(done.error().sentence));
        return 1;
    }
    return 0;
}
