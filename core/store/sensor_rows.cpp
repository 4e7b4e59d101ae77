// SPDX-License-Identifier: GPL-3.0-or-later
#include "store/sensor_blocks.h"

#include <algorithm>
#include <numeric>

namespace holdfast
{

namespace
{

template <typename T>
void cut(std::vector<T> &column, std::ptrdiff_t first, std::ptrdiff_t end)
{
    column.erase(column.begin() + end, column.end());
    column.erase(column.begin(), column.begin() + first);
}

template <typename T>
void rearrange(std::vector<T> &column, const std::vector<std::size_t> &order)
{
    std::vector<T> arranged;
    arranged.reserve(order.size());
    for (const std::size_t i : order)
        arranged.push_back(column[i]);
    column = std::move(arranged);
}

/// Appends the columns of `more` to those of the same name, filling up what the other side lacks.
template <typename Column, typename T>
void appendColumns(std::vector<Column> &columns, std::vector<Column> &more, std::vector<T> Column::*data,
                   std::size_t rows, std::size_t moreRows, T filling)
{
    for (Column &added : more) {
        const auto same = std::find_if(columns.begin(), columns.end(),
                                       [&](const Column &column) { return column.name == added.name; });
        if (same == columns.end()) {
            added.*data = [&] {
                std::vector<T> filled(rows, filling);
                filled.insert(filled.end(), (added.*data).begin(), (added.*data).end());
                return filled;
            }();
            columns.push_back(std::move(added));
        } else {
            ((*same).*data).insert(((*same).*data).end(), (added.*data).begin(), (added.*data).end());
        }
    }
    for (Column &column : columns)
        (column.*data).resize(rows + moreRows, filling);
}

} // namespace

const std::vector<double> *SensorRows::find(std::string_view valueName) const
{
    for (const Values &column : values) {
        if (column.name == valueName)
            return &column.values;
    }
    return nullptr;
}

const std::vector<std::uint32_t> *SensorRows::findMarks(std::string_view markName) const
{
    for (const Marks &column : marks) {
        if (column.name == markName)
            return &column.marks;
    }
    return nullptr;
}

void SensorRows::append(SensorRows &&more)
{
    const std::size_t rows = timeUs.size();
    if (rows == 0 && values.empty() && marks.empty()) {
        *this = std::move(more);
        return;
    }
    timeUs.insert(timeUs.end(), more.timeUs.begin(), more.timeUs.end());
    appendColumns(values, more.values, &Values::values, rows, more.timeUs.size(), missingValue);
    appendColumns(marks, more.marks, &Marks::marks, rows, more.timeUs.size(), std::uint32_t{0});
}

void SensorRows::cutTo(std::int64_t fromUs, std::int64_t toUs)
{
    const auto first = std::lower_bound(timeUs.begin(), timeUs.end(), fromUs) - timeUs.begin();
    const auto end = std::max(first, std::upper_bound(timeUs.begin(), timeUs.end(), toUs) - timeUs.begin());
    cut(timeUs, first, end);
    for (Values &column : values)
        cut(column.values, first, end);
    for (Marks &column : marks)
        cut(column.marks, first, end);
}

void SensorRows::sortByTime()
{
    if (std::is_sorted(timeUs.begin(), timeUs.end()))
        return;
    std::vector<std::size_t> order(timeUs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return timeUs[a] < timeUs[b]; });
    rearrange(timeUs, order);
    for (Values &column : values)
        rearrange(column.values, order);
    for (Marks &column : marks)
        rearrange(column.marks, order);
}

} // namespace holdfast
