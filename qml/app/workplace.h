// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cruise_desk.h"
#include "dive_desk.h"
#include "exchange_desk.h"
#include "handoff_desk.h"
#include "loadout_desk.h"
#include "papers_desk.h"
#include "picture_desk.h"
#include "places.h"
#include "ready_desk.h"
#include "recovery_desk.h"
#include "scan_desk.h"
#include "shown_units.h"
#include "watch_list.h"

#include <QVariantMap>

namespace holdfast
{

/// All view models of one window, made in the order in which they need each other.
struct Workplace {
    Notices notices;
    Places places;
    Desk desk{notices};
    FeedDesk feeds{desk};
    UndoList undo{desk};
    DiveDesk dive{desk, feeds, undo};
    ReadyDesk ready{desk, feeds, undo};
    PictureDesk pictures{desk, feeds};
    ShownUnits units{desk, feeds};
    WatchList found{desk, pictures};
    CruiseDesk cruise{desk};
    ExchangeDesk exchange{desk};
    PapersDesk papers{desk};
    RecoveryDesk recovery{desk, papers};
    HandoffDesk handoff{desk};
    LoadoutDesk loadout;
    BenchDesk bench{desk};
    CustodyDesk custody{desk};
    ScanDesk scan{desk, places, recovery, bench, custody};

    /// What Main.qml requires.
    [[nodiscard]] QVariantMap properties();
    /// What WatchWindow.qml requires.
    [[nodiscard]] QVariantMap readingProperties();
};

/// What the engine needs to find our module.
inline const QString moduleImportPath = QStringLiteral("qrc:/qt/qml");
inline const QString watchQml = QStringLiteral("qrc:/qt/qml/Holdfast/Ui/WatchWindow.qml");
inline const QString mainQml = QStringLiteral("qrc:/qt/qml/Holdfast/Ui/Main.qml");

} // namespace holdfast
