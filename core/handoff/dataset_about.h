// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/result.h"

#include <QJsonObject>
#include <QString>
#include <QStringList>
#include <vector>

namespace holdfast
{

/// What the cruise file cannot know about the data set: who stands for it and under which terms. All of it
/// may be empty; what an archive asks for is then an open point.
struct DatasetAbout {
    struct Person {
        QString name, organisation, email;
        bool operator==(const Person &) const = default;
    };
    QString title, abstract, purpose, citation;
    std::vector<Person> creators;
    Person contact;
    QString licence; ///< URL of its text
    QString rightsHolder, institutionCode, collectionCode, embargoUntil, project;
    QStringList permits; ///< numbers and what they cover, as one line each

    /// Error Malformed names the key and what was expected; unknown keys are refused.
    [[nodiscard]] static Result<DatasetAbout> parse(const QJsonObject &json, const QString &where);
    [[nodiscard]] static Result<DatasetAbout> read(const QString &path);
    /// "<cruise file without its ending>.about.json" beside the cruise file; all empty when there is none.
    [[nodiscard]] static Result<DatasetAbout> beside(const QString &cruisePath);
    [[nodiscard]] static QString pathBeside(const QString &cruisePath);

    /// What parse() reads; what is empty has no key.
    [[nodiscard]] QJsonObject json() const;
    /// Writes it to a file, whole or not at all; what was there before is replaced. Error Unwritable names
    /// the file and the reason.
    [[nodiscard]] Done write(const QString &path) const;

    bool operator==(const DatasetAbout &) const = default;
};

} // namespace holdfast
