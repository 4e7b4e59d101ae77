// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cruise_desk.h"
#include "dive_desk.h"
#include "handoff_desk.h"
#include "papers_desk.h"
#include "places.h"
#include "recovery_desk.h"

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
    RecoveryDesk recovery{desk};
    CruiseDesk cruise{desk};
    PapersDesk papers{desk};
    HandoffDesk handoff{desk};

    /// What Main.qml requires.
    [[nodiscard]] QVariantMap properties();
};

/// What the engine needs to find our module.
inline const QString moduleImportPath = QStringLiteral("qrc:/qt/qml");
inline const QString mainQml = QStringLiteral("qrc:/qt/qml/Holdfast/Ui/Main.qml");

} // namespace holdfast
