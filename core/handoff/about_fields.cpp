// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/about_fields.h"

#include <QDate>
#include <QUrl>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

Error expected(const QString &what)
{
    return fail(ErrorKind::Malformed, what);
}

QString *singleText(DatasetAbout &about, const QString &key)
{
    const QHash<QString, QString *> texts{{q("title"), &about.title},
                                          {q("abstract"), &about.abstract},
                                          {q("purpose"), &about.purpose},
                                          {q("citation"), &about.citation},
                                          {q("contact.name"), &about.contact.name},
                                          {q("contact.organisation"), &about.contact.organisation},
                                          {q("contact.email"), &about.contact.email},
                                          {q("licence"), &about.licence},
                                          {q("rightsHolder"), &about.rightsHolder},
                                          {q("institutionCode"), &about.institutionCode},
                                          {q("collectionCode"), &about.collectionCode},
                                          {q("embargoUntil"), &about.embargoUntil},
                                          {q("project"), &about.project}};
    return texts.value(key, nullptr);
}

QString lineOf(const DatasetAbout::Person &p)
{
    QStringList parts{p.name, p.organisation, p.email};
    while (!parts.isEmpty() && parts.back().isEmpty())
        parts.removeLast();
    return parts.join(q("; "));
}

QStringList linesIn(const QString &text)
{
    QStringList lines;
    for (const QString &line : text.split(QLatin1Char('\n'))) {
        if (!line.trimmed().isEmpty())
            lines << line.trimmed();
    }
    return lines;
}

/// One "@" with something before it and after it; more is not decided here (RFC 5322 3.4.1 allows nearly
/// all).
Done checkEmail(const QString &email)
{
    const bool good =
        email.isEmpty() || (email.count(QLatin1Char('@')) == 1 && !email.contains(QLatin1Char(' ')) &&
                            !email.startsWith(QLatin1Char('@')) && !email.endsWith(QLatin1Char('@')));
    if (good)
        return {};
    return expected(QStringLiteral("\"%1\" is no e-mail address: name@example.org.").arg(email));
}

Result<DatasetAbout::Person> personIn(const QString &line)
{
    QStringList parts = line.split(QLatin1Char(';'));
    for (QString &part : parts)
        part = part.trimmed();
    if (parts.size() > 3)
        return expected(
            QStringLiteral("\"%1\" has more than name; organisation; e-mail. One person a line.").arg(line));
    DatasetAbout::Person person{parts.value(0), parts.value(1), parts.value(2)};
    if (person.name.isEmpty() && person.organisation.isEmpty())
        return expected(QStringLiteral("\"%1\" names nobody: name; organisation; e-mail.").arg(line));
    if (auto good = checkEmail(person.email); !good)
        return good.error();
    return person;
}

/// A licence that looks like an address must be one; other words are taken as they are.
Done checkLicence(const QString &text)
{
    if (text.contains(QLatin1Char('\n')))
        return expected(q("A licence is one line: the address of its text, or its name."));
    if (!text.contains(q("://")))
        return {};
    const QUrl url(text, QUrl::StrictMode);
    if (url.isValid() && !url.host().isEmpty() && (url.scheme() == q("https") || url.scheme() == q("http")))
        return {};
    return expected(
        QStringLiteral("\"%1\" is no address: https://creativecommons.org/licenses/by/4.0/.").arg(text));
}

Done checkText(const QString &key, const QString &text)
{
    if (key == q("licence"))
        return checkLicence(text);
    if (key == q("contact.email"))
        return checkEmail(text);
    if (key == q("embargoUntil") && !text.isEmpty() &&
        (text.size() != 10 || !QDate::fromString(text, Qt::ISODate).isValid()))
        return expected(QStringLiteral("\"%1\" is no day: write 2027-03-31.").arg(text));
    return {};
}

} // namespace

const std::vector<AboutField> &aboutFields()
{
    static const std::vector<AboutField> fields{
        {q("licence"), q("licence"), q("the address of its text; other words are taken as they are"), false},
        {q("contact.name"), q("contact"), q("who answers questions about the data"), false},
        {q("contact.organisation"), q("contact's organisation"), q("where the contact works"), false},
        {q("contact.email"), q("contact's e-mail"), q("it stands in the package for everybody to read"),
         false},
        {q("title"), q("title"), q("of the data set; empty: Samples and specimens of cruise CODE"), false},
        {q("abstract"), q("abstract"), q("what was collected, where, how, in a few sentences"), true},
        {q("creators"), q("creators"), q("one person a line: name; organisation; e-mail"), true},
        {q("rightsHolder"), q("rights holder"), q("the person or organisation that holds the rights"), false},
        {q("permits"), q("permits"), q("one a line: its number and what it covers"), true},
        {q("embargoUntil"), q("embargo until"), q("a day as 2027-03-31; empty: none"), false},
        {q("purpose"), q("purpose"), q("why the data were collected"), false},
        {q("citation"), q("citation"), q("how the data set is to be cited"), false},
        {q("project"), q("project"), q("the project it belongs to"), false},
        {q("institutionCode"), q("institution code"), q("of the institution that keeps the samples"), false},
        {q("collectionCode"), q("collection code"), q("of the collection they go into"), false},
    };
    return fields;
}

QString aboutText(const DatasetAbout &about, const QString &key)
{
    if (key == q("permits"))
        return about.permits.join(QLatin1Char('\n'));
    if (key == q("creators")) {
        QStringList lines;
        for (const DatasetAbout::Person &p : about.creators)
            lines << lineOf(p);
        return lines.join(QLatin1Char('\n'));
    }
    DatasetAbout copy = about;
    const QString *const text = singleText(copy, key);
    return text ? *text : QString();
}

Done setAboutText(DatasetAbout &about, const QString &key, const QString &text)
{
    if (key == q("permits")) {
        about.permits = linesIn(text);
        return {};
    }
    if (key == q("creators")) {
        std::vector<DatasetAbout::Person> people;
        for (const QString &line : linesIn(text)) {
            auto person = personIn(line);
            if (!person)
                return person.error();
            people.push_back(std::move(*person));
        }
        about.creators = std::move(people);
        return {};
    }
    QString *const into = singleText(about, key);
    if (!into)
        return fail(ErrorKind::NotFound, QStringLiteral("There is no field \"%1\".").arg(key));
    if (auto good = checkText(key, text.trimmed()); !good)
        return good;
    *into = text.trimmed();
    return {};
}

const std::vector<OpenLicence> &openLicences()
{
    static const std::vector<OpenLicence> licences{
        {q("CC0 1.0"), q("https://creativecommons.org/publicdomain/zero/1.0/")},
        {q("CC BY 4.0"), q("https://creativecommons.org/licenses/by/4.0/")},
        {q("CC BY-NC 4.0"), q("https://creativecommons.org/licenses/by-nc/4.0/")},
    };
    return licences;
}

QString aboutFieldFor(const QString &check)
{
    if (check == q("licence"))
        return q("licence");
    return check == q("contact") ? q("contact.name") : QString();
}

} // namespace holdfast
