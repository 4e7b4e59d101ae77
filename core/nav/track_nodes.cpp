// SPDX-License-Identifier: GPL-3.0-or-later
#include "nav/switching_smoother.h"

#include <algorithm>
#include <cmath>

namespace holdfast::nav_detail
{
namespace
{

constexpr double longestCellS = 4.0;
constexpr double leapSlackVar = 1e4; ///< m²; what a leap may be off from the step of the fixes

/// Collects the fixes of a node; sums until it is closed.
class Cell
{
public:
    explicit Cell(const VelocityAid &aid) : m_aid(aid) {}

    [[nodiscard]] bool takes(const Fix &fix) const
    {
        return m_node.count > 0.0 && !fix.leapBefore && fix.t - m_start <= longestCellS &&
               (fix.source == PositionSource::Acoustic) == m_node.acoustic;
    }
    void add(const Fix &fix, std::uint32_t index)
    {
        const Displacement moved = m_aid.displacement(fix.t);
        if (m_node.count == 0.0) {
            m_start = fix.t;
            m_node.firstFix = index;
            m_node.acoustic = fix.source == PositionSource::Acoustic;
        }
        m_node.t += fix.t - m_start;
        m_node.x += fix.x - moved.x;
        m_node.y += fix.y - moved.y;
        m_node.sigmaM += fix.sigmaM;
        m_node.statedM = m_node.count == 0.0 ? fix.statedM : std::min(m_node.statedM, fix.statedM);
        m_node.depthM += fix.depthM;
        m_node.count += 1.0;
        m_node.endFix = index + 1;
    }
    void closeInto(std::vector<Node> &nodes)
    {
        if (m_node.count == 0.0)
            return;
        const double n = m_node.count;
        m_node.t = m_start + m_node.t / n;
        m_node.x /= n;
        m_node.y /= n;
        m_node.sigmaM /= n;
        m_node.depthM /= n;
        nodes.push_back(m_node);
        m_node = Node{};
    }
    void leap(double metres) { m_node.leapVar = metres * metres + leapSlackVar; }

private:
    const VelocityAid &m_aid;
    Node m_node;
    double m_start = 0;
};

/// Walks the borders of the velocity log in time order.
class Borders
{
public:
    explicit Borders(const VelocityAid &aid) : m_stretches(aid.stretches()) {}
    [[nodiscard]] bool at(double t) const { return m_next < 2 * m_stretches.size() && time() <= t; }
    [[nodiscard]] bool left() const { return m_next < 2 * m_stretches.size(); }
    [[nodiscard]] Aid aid() const
    {
        return m_next % 2 == 1 ? Aid::Velocity : Aid::None;
    } ///< before the next border
    Node take()
    {
        Node node;
        node.t = time();
        node.aid = aid();
        ++m_next;
        return node;
    }

private:
    [[nodiscard]] double time() const
    {
        const auto &stretch = m_stretches[m_next / 2];
        return m_next % 2 == 0 ? stretch.from : stretch.to;
    }
    const std::vector<VelocityAid::Stretch> &m_stretches;
    std::size_t m_next = 0;
};

} // namespace

std::vector<Node> nodesOf(const std::vector<Fix> &fixes, const VelocityAid &aid)
{
    std::vector<Node> nodes;
    nodes.reserve(fixes.size() + 2 * aid.stretches().size());
    Borders borders(aid);
    Cell cell(aid);
    const auto close = [&] {
        const std::size_t before = nodes.size();
        cell.closeInto(nodes);
        if (nodes.size() > before)
            nodes.back().aid = borders.aid();
    };
    const Fix *last = nullptr;
    for (std::size_t i = 0; i < fixes.size(); ++i) {
        const Fix &fix = fixes[i];
        if (!fix.accepted)
            continue;
        if (!cell.takes(fix) || borders.at(fix.t))
            close();
        while (borders.at(fix.t))
            nodes.push_back(borders.take());
        if (fix.leapBefore && last != nullptr) {
            const Displacement from = aid.displacement(last->t), to = aid.displacement(fix.t);
            cell.leap(std::hypot(fix.x - last->x - to.x + from.x, fix.y - last->y - to.y + from.y));
        }
        cell.add(fix, static_cast<std::uint32_t>(i));
        last = &fix;
    }
    close();
    while (borders.left())
        nodes.push_back(borders.take());
    if (nodes.size() > 1)
        nodes.front().aid = nodes[1].aid;
    return nodes;
}

} // namespace holdfast::nav_detail
