// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/bag_source.h"
#include "handoff/package_findings.h"
#include "handoff/package_writer.h"

#include <QJsonObject>
#include <QMap>

namespace holdfast
{

/// What came of checking a bag. Complete and valid are told apart (RFC 8493 section 3): complete is
/// everything there and well formed, valid is complete with every checksum fitting.
struct BagReport {
    PackageFindings findings;
    QString version;
    QStringList algorithms; ///< of the payload manifests, as in their names
    int payloadFiles = 0;
    qint64 payloadBytes = 0;
    bool complete = false;
    bool valid = false;
    QMap<QString, QString> info; ///< bag-info.txt by label in small letters; of repeated labels the first
};

/// Validates any bag by RFC 8493 (BagIt 1.0); a bag of an earlier draft (0.93 to 0.97) is judged by that
/// draft's looser rules, with a warning. Reads each file once. Nothing is fetched and nothing written. The
/// only error is Cancelled: all else is a finding.
[[nodiscard]] Result<BagReport> checkBag(const BagSource &source, const JobControl &job);

/// One line of a manifest or tag manifest.
struct ManifestLine {
    QString checksum; ///< small letters
    QString path;     ///< decoded
    bool starred = false;
};
/// Reads a manifest's text; what is wrong in it goes to `findings`. Lines whose path is unsafe are left out,
/// and those after the first `mostLines`, which is an error.
[[nodiscard]] std::vector<ManifestLine> readManifest(const QByteArray &text, const QString &file,
                                                     qint64 mostLines, PackageFindings &findings);

/// Reads bag-info.txt, at most `mostTagBytes` of text: labels and values in order, folded values joined.
[[nodiscard]] QList<QPair<QString, QString>> readBagInfo(const QByteArray &text, bool strict,
                                                         PackageFindings &findings);

} // namespace holdfast
