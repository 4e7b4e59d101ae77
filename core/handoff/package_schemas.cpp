// SPDX-License-Identifier: GPL-3.0-or-later
#include "handoff/package_schemas.h"

#include "base/template_folder.h"

#include <QDir>

namespace holdfast
{

namespace
{

QString q(const char *text)
{
    return QString::fromUtf8(text);
}

/// Each schema, what it is of, and what it follows.
constexpr struct {
    const char *file, *of, *follows;
} schemas[] = {
    {"data-package.schema.json", "data/tables/datapackage.json",
     "Frictionless Data Package 1, Tabular Data Resource 1, Table Schema 1"},
    {"geojson.schema.json", "data/geojson/tracks.geojson, samples.geojson", "RFC 7946"},
    {"prov.schema.json", "data/provenance/provenance.json", "W3C PROV-JSON, member submission of 2013"},
    {"igsn.schema.json", "data/igsn/igsn.json", "IGSN metadata kernel, description schema 1.1 of 2017"},
    {"eml-profile.xsd", "data/dwca/eml.xml",
     "EML 2.2.0 and GBIF metadata profile 1.3, the part that is written here"},
};

const char *const head = R"(Schemas of the JSON and XML files of this package
=================================================
They say in full what each file may hold: names, types, allowed values. They are the packing program's own wording of the
published rules that each names, narrower where the program never writes more. JSON Schema is of draft 2020-12; the .xsd is
W3C XML Schema 1.0. Any validator takes them, for example, with Debian's python3-jsonschema and libxml2-utils:
  python3 -m jsonschema -i data/geojson/tracks.geojson data/schemas/geojson.schema.json
  xmllint --nonet --noout --schema data/schemas/eml-profile.xsd data/dwca/eml.xml
data/dwca/meta.xml follows the Darwin Core text guide, whose XML Schema its first element names.

)";

} // namespace

Done writeSchemas(PackageWriter &package)
{
    const auto folder = templateFolder();
    if (!folder)
        return folder.error();
    QByteArray readme = head;
    for (const auto &schema : schemas) {
        QFile file(*folder + q("/handoff/schemas/") + q(schema.file));
        if (!file.open(QIODevice::ReadOnly))
            return fail(
                ErrorKind::NotFound,
                QStringLiteral("The schema %1 can't be read: %2.").arg(file.fileName(), file.errorString()));
        if (auto done = package.add(q("data/schemas/") + q(schema.file), file.readAll()); !done)
            return done;
        readme += QByteArray(schema.file) + "\n  of " + schema.of + "\n  after " + schema.follows + '\n';
    }
    return package.add(q("data/schemas/README.txt"), readme);
}

} // namespace holdfast
