// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace holdfast
{

/// What the numbers of a raw acoustic log are measured against.
enum class AcousticFrame {
    True,  ///< bearing clockwise from true north
    Level, ///< from the bow, already stabilised for pitch and roll
    Body,  ///< from the bow in the ship's own axes, not stabilised
};

/// How a ship's acoustic system is mounted and how sure it is; from its feed profile.
struct AcousticSetup {
    AcousticFrame frame = AcousticFrame::Level;
    double leverForwardM = 0; ///< from the antenna to the transducer, in ship axes
    double leverStarboardM = 0;
    double leverDownM = 0;
    double antennaHeightM = 0;        ///< above the sea surface
    double sigmaPercentOfRange = 0.5; ///< one axis, of the slant range; 0.2 to 1 is common practice
    double headingSigmaDeg = 0.5;     ///< of the ship's heading and the mounting angle
    double gapLimitS = 5; ///< the ship's position and heading are interpolated over no longer gap, 0.1 .. 60
    double depthGapLimitS = 30;   ///< the same for the target's depth from another log, 0.1 .. 600
    bool withoutAttitude = false; ///< no pitch and roll: taken as upright, and said so; else not placed
};

} // namespace holdfast
