// SPDX-License-Identifier: GPL-3.0-or-later
#include "dive/readiness.h"

#include <algorithm>

namespace holdfast
{

namespace
{

QString s(const char *text)
{
    return QString::fromUtf8(text);
}

/// What was said of a point, or what is to do.
void judge(ReadyLine &line, const std::map<ReadyPoint, ReadyCheck> &checks, const QString &toDo)
{
    const auto found = checks.find(line.point);
    if (found == checks.end()) {
        line.words = toDo;
        return;
    }
    const ReadyCheck &check = found->second;
    line.state = check.inOrder ? ReadyLine::State::InOrder : ReadyLine::State::Doubt;
    QStringList words{s("%1, %2 UTC").arg(check.by, toIso(check.time).mid(11, 5))};
    if (!check.inOrder)
        words.prepend(s("not in order: %1").arg(check.note));
    else if (!check.note.isEmpty())
        words << check.note;
    if (!check.seen.isEmpty())
        words << s("seen then: %1").arg(check.seen);
    line.words = words.join(s(" · "));
}

QString permitWords(const std::vector<PermitLimit> &permits)
{
    QStringList words;
    for (const PermitLimit &p : permits)
        words << (p.left() < 0 ? s("%1 %2 over %3").arg(p.taxon).arg(-p.left()).arg(p.most)
                               : s("%1 %2 left of %3").arg(p.taxon).arg(p.left()).arg(p.most));
    return words.isEmpty() ? s("no limit is set") : words.join(s(", "));
}

} // namespace

std::vector<ReadyLine> readyLines(const Readiness &readiness)
{
    const auto &[boxes, checks, watch, permits, wanted] = readiness;
    std::vector<ReadyLine> lines;
    const auto add = [&lines, &found = checks](const QString &item, const QString &subject,
                                               const QString &title, const QString &toDo) -> ReadyLine & {
        ReadyLine line;
        line.point = {item, subject};
        line.title = title;
        judge(line, found, toDo);
        lines.push_back(line);
        return lines.back();
    };
    for (const QString &box : boxes)
        add(readyItemBox(), box, s("%1: empty and clean").arg(box), s("look into it, then say so by name"));
    add(s("feeds"), {}, s("Feeds alive"), s("look at them, then say so"));
    add(s("clocks"), {}, s("Clocks within their limit"), s("compare them, then say so"));
    ReadyLine &onWatch = add(s("watch"), {}, s("People on watch"), s("say who logs, leads and flies"));
    QStringList posts;
    bool logs = false;
    for (const WatchPost &post : watch) {
        posts << s("%1 %2").arg(post.role, post.person);
        logs = logs || post.role == logRole();
    }
    if (!logs && onWatch.state == ReadyLine::State::InOrder)
        onWatch.state = ReadyLine::State::Doubt;
    if (!posts.isEmpty())
        onWatch.words = posts.join(s(", ")) + s(" · ") + onWatch.words;
    ReadyLine &permit =
        add(s("permits"), {}, s("Permits and what is left of them"), s("read the numbers, then say so"));
    permit.words = permitWords(permits) + s(" · ") + permit.words;
    for (const PermitLimit &p : permits) {
        if (p.left() <= 0)
            permit.state = ReadyLine::State::Doubt;
    }
    ReadyLine &plan = add(s("plan"), {}, s("Collection plan"), s("read it, then say so"));
    plan.words = (wanted.empty()       ? s("nothing is on it")
                  : wanted.size() == 1 ? s("1 item")
                                       : s("%1 items").arg(wanted.size())) +
                 s(" · ") + plan.words;
    return lines;
}

QString readyAnswer(const std::vector<ReadyLine> &lines)
{
    const auto count = [&lines](ReadyLine::State state) {
        return std::count_if(lines.begin(), lines.end(),
                             [state](const ReadyLine &l) { return l.state == state; });
    };
    const auto open = count(ReadyLine::State::Open);
    const auto doubt = count(ReadyLine::State::Doubt);
    QStringList words;
    if (open > 0)
        words << (open == 1 ? s("1 point is left") : s("%1 points are left").arg(open));
    if (doubt > 0)
        words << (doubt == 1 ? s("1 is not in order") : s("%1 are not in order").arg(doubt));
    return words.isEmpty() ? s("nothing: all is in order") : words.join(s(", "));
}

} // namespace holdfast
