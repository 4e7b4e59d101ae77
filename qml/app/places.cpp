// SPDX-License-Identifier: GPL-3.0-or-later
#include "places.h"

#include <array>

namespace holdfast
{

namespace
{

struct Place {
    const char *title, *key;
};

constexpr std::array<Place, 8> places{{
    {"Cruise", "Alt+1"},
    {"Ready", "Alt+2"},
    {"Dive", "Alt+3"},
    {"Recovery", "Alt+4"},
    {"Bench", "Alt+5"},
    {"Custody", "Alt+6"},
    {"Hand-off", "Alt+7"},
    {"Papers", "Alt+8"},
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
    }
    return 0;
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
    }
    return {};
}

QHash<int, QByteArray> Places::roleNames() const
{
    return {{static_cast<int>(Role::Title), "title"}, {static_cast<int>(Role::KeyText), "keyText"}};
}

} // namespace holdfast
