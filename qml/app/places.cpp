// SPDX-License-Identifier: GPL-3.0-or-later
#include "places.h"

#include <array>

namespace holdfast
{

namespace
{

struct Place {
    const char *title, *key, *purpose;
    bool works;
};

constexpr std::array<Place, 8> places{{
    {"Cruise", "Alt+1", "Opens a cruise file, begins a new one, plans its dives.", true},
    {"Ready", "Alt+2",
     "Readying a dive: loadout confirmed empty and clean, feeds and clocks checked, who is on watch.", true},
    {"Dive", "Alt+3", "Stamps, slots and samples while the vehicle works.", true},
    {"Recovery", "Alt+4", "Compares each slot with the ledger when the vehicle is on deck.", true},
    {"Bench", "Alt+5",
     "Splitting, preserving, identifying and photographing specimens against their cold clocks.", true},
    {"Custody", "Alt+6", "Who has what, hand-overs confirmed by both sides, storage.", true},
    {"Hand-off", "Alt+7", "What the archive receives: completeness, the package and its own check.", true},
    {"Papers", "Alt+8", "Labels and sheets: preview, print, export.", true},
}};

} // namespace

void Places::setCurrent(int place)
{
    if (place == m_current || place < 0 || place >= rowCount())
        return;
    m_current = place;
    emit currentChanged();
}

QString Places::title() const
{
    return QString::fromLatin1(places[static_cast<std::size_t>(m_current)].title);
}

bool Places::showPlace(const QString &word)
{
    const int place = placeOf(word);
    setCurrent(place);
    return place >= 0;
}

int Places::page() const
{
    switch (static_cast<Name>(m_current)) {
    case Name::Cruise:
        return 0;
    case Name::Dive:
        return 1;
    case Name::Recovery:
        return 2;
    case Name::Papers:
        return 3;
    case Name::HandOff:
        return 4;
    case Name::Ready:
        return 5;
    case Name::Bench:
        return 6;
    case Name::Custody:
        return 7;
    default:
        return 8; // the page that says what is not there yet
    }
}

bool Places::works() const
{
    return places[static_cast<std::size_t>(m_current)].works;
}

QString Places::purpose() const
{
    return QString::fromLatin1(places[static_cast<std::size_t>(m_current)].purpose);
}

int Places::placeOf(const QString &word)
{
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (word.compare(QLatin1String(places[i].title), Qt::CaseInsensitive) == 0)
            return static_cast<int>(i);
    }
    return -1;
}

int Places::rowCount(const QModelIndex &parent) const
{
    return parent.isValid() ? 0 : static_cast<int>(places.size());
}

QVariant Places::data(const QModelIndex &index, int role) const
{
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Place &place = places[static_cast<std::size_t>(index.row())];
    switch (static_cast<Role>(role)) {
    case Role::Title:
        return QString::fromLatin1(place.title);
    case Role::KeyText:
        return QString::fromLatin1(place.key);
    case Role::Works:
        return place.works;
    }
    return {};
}

QHash<int, QByteArray> Places::roleNames() const
{
    return {{static_cast<int>(Role::Title), "title"},
            {static_cast<int>(Role::KeyText), "keyText"},
            {static_cast<int>(Role::Works), "works"}};
}

} // namespace holdfast
