// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "print/page_document.h"

#include <QStringList>

namespace holdfast
{

/// How a slot is drawn, so that a black-and-white copy still tells it.
enum class SlotLook {
    Free,     ///< thin outline
    Taken,    ///< thick outline, light grey
    Mixed,    ///< thick double outline, light grey: more than one thing, as practice allows for rocks
    Unusable, ///< dashed outline, crossed
};

struct SlotPicture {
    QString code = {};      ///< "B2"
    QString stateWord = {}; ///< "free", "coral", "3 rocks", "out of reach"
    QStringList ids = {};   ///< the samples in it, as short as the caller likes: "017"
    QRectF rect = {};       ///< x to starboard, y aft, in the units of the whole plan
    bool round = false;
    SlotLook look = SlotLook::Free;
};

struct BoxPicture {
    QString name = {}; ///< "Biobox port"
    QRectF rect = {};
};

/// The vehicle seen from above, bow up, in any one unit of length.
struct SlotPlanContent {
    std::vector<BoxPicture> boxes = {};
    std::vector<SlotPicture> slotPictures = {};
};

/// The plan drawn to scale and centred in `areaMm`, with the words bow, port and starboard at its edges. Text
/// that does not fit a slot at 4.5 pt is left out of the picture, the code last; the sample table says it
/// all. An empty plan gives no marks. Needs a QGuiApplication.
[[nodiscard]] std::vector<PageMark> drawSlotPlan(const SlotPlanContent &plan, const QRectF &areaMm);

} // namespace holdfast
