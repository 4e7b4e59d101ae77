// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "exchange/station_list.h"
#include "exchange/take_in.h"
#include "ledger/station_key.h"
#include "qml/a_van.h"

#include <QVariantMap>

namespace holdfast::test
{

/// The deck, a second station made of a van's cruise as it is; its files lie in a folder between them.
class Deck
{
public:
    explicit Deck(const Van &van) : m_folder(van.folder() + QStringLiteral("/between"))
    {
        QDir().mkpath(m_folder);
        const QString copy = van.folder() + QStringLiteral("/deck.hfc");
        auto from = Database::open(van.path(), Database::Access::ReadWrite);
        if (!from || !execSql(from->connection(), QStringLiteral("VACUUM INTO ?"), {copy}))
            qFatal("the cruise file could not be copied");
        auto made = CruiseFile::becomeStation(copy, QStringLiteral("deck"),
                                              {QStringLiteral("Ben"), Van::now()}, 0, allVerbRules());
        if (!made)
            qFatal("%s", qUtf8Printable(made.error().sentence));
        m_file.emplace(std::move(*made));
    }

    /// Amends the first sample and writes the exchange file. @return folder, file, key.
    QVariantMap gives(const QString &description, bool spoil)
    {
        const auto kinds = KindTable::load();
        const Done done =
            kinds ? amendSample(*m_file, {QStringLiteral("Ben"), Van::now()}, QStringLiteral("TK26-01-001"),
                                {{QStringLiteral("description"), description}},
                                QStringLiteral("seen on deck"), *kinds)
                  : Done(kinds.error());
        if (!done)
            qFatal("%s", qUtf8Printable(done.error().sentence));
        return leaves(spoil ? description : QString());
    }
    /// Plans a dive with a loadout and writes the exchange file. @return folder, file, key.
    QVariantMap plans(int number, const QString &vehicle, const QString &loadout)
    {
        const auto json = readTemplate(QStringLiteral("loadouts"), loadout);
        if (!json || !planDive(*m_file, {QStringLiteral("Ben"), Van::now()}, number, vehicle, *json))
            qFatal("the deck could not plan dive %d", number);
        return leaves({});
    }

private:
    /// The exchange file in the folder between; `spoilt`: a word in it that is changed afterwards.
    QVariantMap leaves(const QString &spoilt)
    {
        const auto all = gatherExchange(m_file->db(), m_file->station(), Van::now());
        auto bytes = all ? exchangeBytes(*all) : Result<QByteArray>(all.error());
        if (!bytes)
            qFatal("%s", qUtf8Printable(bytes.error().sentence));
        if (!spoilt.isEmpty())
            bytes->replace(spoilt.toUtf8(), spoilt.toUpper().toUtf8());
        const QString path =
            m_folder + QLatin1Char('/') + exchangeFileName(QStringLiteral("TK26"), m_file->station());
        QFile file(path);
        if (!file.open(QIODevice::WriteOnly) || file.write(*bytes) != bytes->size())
            qFatal("the exchange file could not be written");
        auto key = query(m_file->db().connection(),
                         QStringLiteral("SELECT public_key FROM station WHERE name='deck'"));
        if (!key || !key->next())
            qFatal("the deck has no key");
        return {{QStringLiteral("folder"), m_folder},
                {QStringLiteral("file"), path},
                {QStringLiteral("key"), keyMark(key->text(0))}};
    }

    QString m_folder;
    std::optional<CruiseFile> m_file;
};

} // namespace holdfast::test
