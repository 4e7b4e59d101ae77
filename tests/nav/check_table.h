// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

namespace holdfast::test
{

using CheckRow = std::map<std::string, std::string>;

inline double number(const CheckRow &row, const std::string &column)
{
    return std::strtod(row.at(column).c_str(), nullptr);
}

/// A table of check values named `file` in the folder check-values of $HOLDFAST_SHARED_DATA; nothing without
/// it.
inline std::optional<std::vector<CheckRow>> checkTable(const std::string &file)
{
    const char *folder = std::getenv("HOLDFAST_SHARED_DATA");
    if (folder == nullptr)
        return std::nullopt;
    std::ifstream in(std::string(folder) + "/check-values/" + file);
    if (!in)
        return std::nullopt;
    std::vector<std::string> names;
    std::vector<CheckRow> rows;
    for (std::string line; std::getline(in, line);) {
        if (line.empty() || line.front() == '#')
            continue;
        std::vector<std::string> cells;
        std::istringstream cellsOf(line);
        for (std::string cell; std::getline(cellsOf, cell, ',');)
            cells.push_back(cell);
        if (names.empty()) {
            names = cells;
            continue;
        }
        cells.resize(names.size());
        CheckRow row;
        for (std::size_t i = 0; i < names.size(); ++i)
            row[names[i]] = cells[i];
        rows.push_back(row);
    }
    return rows;
}

} // namespace holdfast::test
