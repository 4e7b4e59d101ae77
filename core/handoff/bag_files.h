// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "handoff/package_writer.h"

#include <QPair>

namespace holdfast
{

/// Label and value of a line of bag-info.txt, in order.
using BagInfo = QList<QPair<QString, QString>>;

/// Ends a bag (BagIt 1.0, RFC 8493) whose payload is written: payload manifests, bag-info.txt with
/// Payload-Oxum and Bag-Size put in, bagit.txt, and the tag manifests last. Line breaks in values become
/// blanks. Error Internal when there is no payload.
[[nodiscard]] Done writeBagFiles(PackageWriter &package, const BagInfo &info);

} // namespace holdfast
