// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

namespace holdfast::verb
{

// What an entry of the ledger can say about collecting. A verb that has been released keeps its name and the
// meaning of its body for ever; core/dive/README.md lists the bodies.
inline const QString cruiseOpened = QStringLiteral("cruise opened");
inline const QString cruiseDescribed = QStringLiteral("cruise described");
inline const QString diveDescribed = QStringLiteral("dive described");
inline const QString stationJoined = QStringLiteral("station joined");
inline const QString divePlanned = QStringLiteral("dive planned");
inline const QString divePlannedAgain = QStringLiteral("dive planned again");
inline const QString phaseReached = QStringLiteral("phase reached");
inline const QString phaseTakenBack = QStringLiteral("phase taken back");
inline const QString phaseCorrected = QStringLiteral("phase corrected");
inline const QString stampTimeCorrected = QStringLiteral("stamp time corrected");
inline const QString diveClosed = QStringLiteral("dive closed");
inline const QString stampTaken = QStringLiteral("stamp taken");
inline const QString stampFailed = QStringLiteral("stamp failed");
inline const QString stampSetAside = QStringLiteral("stamp set aside");
inline const QString stampReopened = QStringLiteral("stamp reopened");
inline const QString sampleLogged = QStringLiteral("sample logged");
inline const QString sampleMoved = QStringLiteral("sample moved");
inline const QString sampleAmended = QStringLiteral("sample amended");
inline const QString sampleState = QStringLiteral("sample state");
inline const QString lidMoved = QStringLiteral("lid moved");
inline const QString reachChanged = QStringLiteral("reach changed");
inline const QString readyChecked = QStringLiteral("ready checked");
inline const QString watchChanged = QStringLiteral("watch changed");
inline const QString permitLimited = QStringLiteral("permit limited");
inline const QString itemWanted = QStringLiteral("item wanted");
inline const QString logTakenIn = QStringLiteral("log taken in");
inline const QString logUseChanged = QStringLiteral("log use changed");
inline const QString sensorsCorrected = QStringLiteral("sensors corrected");
inline const QString clockOffsetApplied = QStringLiteral("clock offset applied");
inline const QString feedSet = QStringLiteral("feed set");
inline const QString feedRemoved = QStringLiteral("feed removed");
inline const QString recordingClosed = QStringLiteral("recording closed");
inline const QString valuesAccepted = QStringLiteral("values accepted");
inline const QString pinSet = QStringLiteral("pin set");
// A person's answers to what several stations did without knowing of each other.
inline const QString itemRenumbered = QStringLiteral("item renumbered");
inline const QString conflictSettled = QStringLiteral("conflict settled");

// What a stamp's "seen" holds when the moment of taking is not known: the span in which it lies.
inline const QString seenFrom = QStringLiteral("collected from");
inline const QString seenTo = QStringLiteral("collected to");

} // namespace holdfast::verb
