// SPDX-License-Identifier: GPL-3.0-or-later
#include "scenario.h"

namespace holdfast::demo
{

namespace
{

using What = Event::What;

QString u(const char *text)
{
    return QString::fromUtf8(text);
}

UtcTime time(const char *iso)
{
    return parseIsoUtc(iso).value_or(UtcTime{});
}

Event sample(double min, const char *slot, const char *kind, int count, const char *words, const char *by,
             const char *askedBy = "")
{
    return {min, What::Sample, u(slot), u(kind), count, u(words), u(by), u(askedBy), 0, false};
}

Event stampOnly(double min, What what, const char *reason, const char *by)
{
    return {min, what, {}, {}, 1, u(reason), u(by), {}, 0, false};
}

Event lid(double min, const char *slot, bool open, const char *by)
{
    return {min, What::Lid, u(slot), {}, 1, {}, u(by), {}, 0, open};
}

DemoDive first()
{
    DemoDive d;
    d.number = 1;
    d.plan.seed = 4101;
    d.plan.launch = time("2026-03-12T06:05:00Z");
    d.plan.latitudeDeg = -19.4312;
    d.plan.longitudeDeg = 179.9988;
    d.plan.bottomM = 1240;
    d.plan.risePerMetre = 0.16;
    d.plan.endMin = 262;
    d.plan.withVelocities = true;
    // The track crosses the 180th meridian on its way up the flank.
    d.plan.stops = {{45.4, 58, 20, -40},  {66, 78, 70, -20},    {86, 97, 128, 30},
                    {105, 119, 190, 62},  {128, 140, 262, 110}, {150, 163, 330, 150},
                    {172, 184, 402, 215}, {193, 206, 470, 260}, {212, 221, 520, 300}};
    d.events = {
        sample(51.3, "C1", "push core", 1, "soft carbonate ooze, top water kept", "Mara", "Ilse"),
        sample(54.9, "C2", "push core", 1, "beside the first, a little shorter", "Mara", "Ilse"),
        sample(71.2, "R1", "basalt", 1, "pillow fragment with glassy rind", "Mara", "Teo"),
        sample(74.6, "R1", "basalt", 2, "two smaller pieces from the same pillow", "Mara", "Teo"),
        lid(89.0, "B1", true, "Mara"),
        sample(91.4, "B1", "octocoral", 1, "white fan, about 30 cm, whole colony", "Mara", "Ana"),
        lid(92.6, "B1", false, "Mara"),
        stampOnly(95.1, What::Failed, "sponge crumbled at the claw", "Mara"),
        sample(109.8, "J1", "brittle star", 3, "by suction, from under the fan", "Mara", "Ana"),
        sample(116.7, "N1", "water", 1, "one metre above the coral", "Mara", "Ilse"),
        sample(133.5, "B2", "sponge", 1, "glass sponge, stalked", "Dov", "Ana"),
        stampOnly(137.2, What::SetAside, "photograph only, animal left in place", "Dov"),
        sample(154.0, "R2", "crust", 1, "manganese crust on a slab, flat side up", "Dov", "Teo"),
        sample(158.8, "B4", "stony coral", 1, "small branch, live, one polyp damaged", "Dov", "Ana"),
        sample(177.4, "J2", "squat lobster", 2, "from the dead coral framework", "Dov", "Ana"),
        sample(197.9, "R3", "carbonate", 1, "limestone with borings", "Dov", "Teo"),
        sample(203.1, "N2", "water", 1, "above the ridge", "Dov", "Ilse"),
    };
    d.events.push_back(
        {206.0, What::Move, u("B5"), {}, 1, u("more room for the stalk"), u("Dov"), {}, 8, false});
    d.events.push_back({208.0,
                        What::Amend,
                        {},
                        u("black coral"),
                        1,
                        u("seen from the side on the second video"),
                        u("Dov"),
                        {},
                        10,
                        false});
    d.found = {{u("B4"), u("broken"), u("branch in two pieces, both kept")},
               {u("R2"), u("extra"), u("a small worm tube on the underside of the slab")}};
    d.stage = Stage::Closed;
    return d;
}

DemoDive second()
{
    DemoDive d;
    d.number = 2;
    d.plan.seed = 4202;
    d.plan.launch = time("2026-03-13T05:40:00Z");
    d.plan.latitudeDeg = -19.4190;
    d.plan.longitudeDeg = -179.9921;
    d.plan.bottomM = 860;
    d.plan.risePerMetre = 0.1;
    d.plan.endMin = 190;
    d.plan.stops = {
        {32.8, 47, -30, 20}, {56, 70, 25, 66}, {80, 96, 80, 92}, {106, 121, 150, 140}, {131, 152, 210, 176}};
    d.events = {
        sample(38.2, "C1", "push core", 1, "sandy, 18 cm", "Mara", "Ilse"),
        sample(60.5, "B1", "crinoid", 1, "stalked, yellow, stalk cut low", "Mara", "Ana"),
        sample(64.4, "R1", "rock", 3, "loose cobbles", "Mara", "Teo"),
        stampOnly(68.0, What::Failed, "core tube fell over before it was shut", "Mara"),
        sample(85.7, "B2", "sponge", 1, "blue, leathery", "Mara", "Ana"),
        sample(89.9, "J1", "sea cucumber", 1, "swimming, caught by suction", "Mara", "Ana"),
        sample(111.0, "N1", "water", 1, "in the haze above the bottom", "Dov", "Ilse"),
        sample(116.3, "B5", "octocoral", 1, "bamboo coral, upper half only", "Dov", "Ana"),
        sample(138.1, "R4", "basalt", 1, "from outcrop, orientation marked on video", "Dov", "Teo"),
    };
    d.events.push_back(
        {147.0, What::Lost, {}, {}, 1, u("swam out when the jar was turned"), u("Dov"), {}, 5, false});
    d.stage = Stage::OnDeck;
    d.tallied = 3;
    return d;
}

DemoDive third()
{
    DemoDive d;
    d.number = 3;
    d.plan.seed = 4303;
    d.plan.launch = time("2026-03-14T06:10:00Z");
    d.plan.latitudeDeg = -19.4407;
    d.plan.longitudeDeg = -179.9868;
    d.plan.bottomM = 640;
    d.plan.risePerMetre = 0.12;
    d.plan.endMin = 170;
    d.plan.withVelocities = true;
    d.plan.stops = {
        {25.4, 38, 10, 10}, {48, 62, 60, 48}, {72, 86, 118, 80}, {97, 112, 180, 126}, {120, 140, 230, 170}};
    d.events = {
        sample(30.4, "R1", "basalt", 1, "angular block, grey", "Mara", "Teo"),
        sample(52.7, "B2", "octocoral", 1, "pink, with a snail on it", "Mara", "Ana"),
        sample(57.3, "J1", "shrimp", 2, "from the coral", "Mara", "Ana"),
    };
    d.stage = Stage::OnBottom;
    return d;
}

} // namespace

std::vector<DemoDive> scenario()
{
    return {first(), second(), third()};
}

} // namespace holdfast::demo
