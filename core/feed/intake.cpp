// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/intake.h"

#include "feed/digest_worker.h"
#include "feed/line_parser.h"
#include "feed/time_window.h"

#include <QFile>
#include <QFileInfo>
#include <algorithm>
#include <cstring>
#include <utility>

namespace holdfast
{

namespace
{

using namespace Qt::StringLiterals;

constexpr std::size_t chunkBytes = std::size_t{1} << 20;

/// Where a log's bytes come from: fills the buffer, says how many came, 0 at the end.
using ReadBytes = std::function<Result<std::size_t>(char *into, std::size_t most)>;

/// One intake on its way: reads chunks of whole lines, parses them here, hands them to the digest worker.
class Intake
{
public:
    Intake(QString name, const FeedProfile &profile, const IntakeOptions &options)
        : m_name(std::move(name)), m_profile(profile), m_options(options),
          m_parser(profile, options.dateHint ? options.dateHint : options.windowStart),
          m_worker(profile.delimiter)
    {
    }

    Result<IntakeData> run(const ReadBytes &read, std::int64_t size);

private:
    Done checkStart(std::string_view start);
    Done checkText(std::string_view start) const;
    std::string takePiece(std::string piece, bool last);
    Done parse(const std::shared_ptr<const std::string> &chunk);
    Done parseLines(std::string_view lines);
    Done parseEnd(std::string_view rest);
    Done readAll(const ReadBytes &read, std::int64_t size);
    Result<IntakeData> ended();
    void warnAboutDate();

    QString m_name;
    const FeedProfile &m_profile;
    const IntakeOptions &m_options;
    LineParser m_parser;
    DigestWorker m_worker;
    std::int64_t m_bytes = 0;
    bool m_first = true;
    bool m_inLongLine = false;
};

/// The first bytes of the log, whichever way they come.
Done Intake::checkStart(std::string_view start)
{
    const bool first = std::exchange(m_first, false);
    return first ? checkText(start) : Done{};
}

/// Column logs are text. A zero byte, or many control characters, tell another kind of file.
Done Intake::checkText(std::string_view start) const
{
    if (m_profile.kind == FeedKind::Nmea)
        return {};
    start = start.substr(0, 8192);
    if (start.starts_with("\xFF\xFE") || start.starts_with("\xFE\xFF"))
        return fail(ErrorKind::Unreadable,
                    u"%1 is UTF-16 text. Profile %2 expects ASCII or UTF-8: save the log as UTF-8."_s.arg(
                        m_name, m_profile.name));
    const auto control = std::count_if(start.begin(), start.end(), [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return byte < 0x20 && byte != '\n' && byte != '\r' && byte != '\t';
    });
    const std::size_t zero = start.find('\0');
    if (zero == std::string_view::npos && control * 20 <= static_cast<std::ptrdiff_t>(start.size()))
        return {};
    return fail(ErrorKind::Unreadable,
                u"%1 is a binary file, not text: %2. Profile %3 expects lines of text."_s.arg(
                    m_name,
                    zero != std::string_view::npos
                        ? u"byte %1 is zero"_s.arg(zero + 1)
                        : u"%1 of its first %2 bytes are control characters"_s.arg(control).arg(start.size()),
                    m_profile.name));
}

/// A chunk of whole lines. CTD logs are taken apart into a table once, for reading and for packing: a million
/// lines are too many to be read twice.
Done Intake::parse(const std::shared_ptr<const std::string> &chunk)
{
    if (chunk->empty())
        return {};
    if (const Done text = checkStart(*chunk); !text)
        return text;
    std::shared_ptr<const LineTable> table;
    if (m_profile.kind == FeedKind::Ctd)
        table = std::make_shared<const LineTable>(takeApart(*chunk, m_profile.delimiter));
    m_worker.take({chunk, table});
    if (!table || !m_parser.fits(table->shape))
        return parseLines(*chunk);
    if (const Done pushed = m_parser.pushTable(*table); !pushed)
        return pushed.error().whileDoing(m_name);
    return {};
}

Done Intake::parseLines(std::string_view lines)
{
    while (!lines.empty()) {
        const void *newline = std::memchr(lines.data(), '\n', lines.size());
        const std::size_t length =
            newline == nullptr
                ? lines.size()
                : static_cast<std::size_t>(static_cast<const char *>(newline) - lines.data()) + 1;
        if (const Done pushed = m_parser.push(lines.substr(0, length)); !pushed)
            return pushed.error().whileDoing(m_name);
        lines.remove_prefix(length);
    }
    return {};
}

Done Intake::parseEnd(std::string_view rest)
{
    if (rest.empty())
        return {};
    if (const Done text = checkStart(rest); !text)
        return text;
    if (const Done pushed = m_parser.pushLast(rest); !pushed)
        return pushed.error().whileDoing(m_name);
    return {};
}

/// Hands on a piece of a line that is longer than a chunk, so that a file without line ends can't fill the
/// memory; gives what is left for the next piece. A sentence is not cut: it waits from its '$' on.
std::string Intake::takePiece(std::string piece, bool last)
{
    std::string rest;
    if (m_profile.kind == FeedKind::Nmea && !last) {
        constexpr std::size_t longestSentence = 256;
        const std::size_t start = piece.find_last_of("$!");
        if (start != std::string::npos && start > 0 && start + longestSentence > piece.size()) {
            rest.assign(piece, start);
            piece.resize(start);
        }
    }
    m_parser.pushPiece(piece, !m_inLongLine, last);
    m_inLongLine = !last;
    m_worker.take({std::make_shared<const std::string>(std::move(piece)), nullptr});
    return rest;
}

Done Intake::readAll(const ReadBytes &read, std::int64_t size)
{
    std::string carried; // the beginning of a line whose end is in the next chunk
    while (true) {
        if (m_options.stop.stop_requested())
            return fail(ErrorKind::Cancelled, u"Reading %1 was stopped; nothing was kept."_s.arg(m_name));
        auto chunk = std::make_shared<std::string>(std::move(carried));
        const std::size_t kept = chunk->size();
        chunk->resize(kept + chunkBytes);
        const Result<std::size_t> got = read(chunk->data() + kept, chunkBytes);
        if (!got)
            return got.error();
        chunk->resize(kept + *got);
        m_bytes += static_cast<std::int64_t>(*got);
        const bool last = *got == 0;
        if (m_inLongLine) {
            const std::size_t end = std::min(chunk->find('\n'), chunk->size() - 1) + 1;
            const bool ended = last || (end > 0 && (*chunk)[end - 1] == '\n');
            std::string following = takePiece(chunk->substr(0, end), ended);
            following.append(*chunk, end);
            *chunk = std::move(following);
        }
        const std::size_t newline = chunk->rfind('\n');
        const std::size_t whole = last ? chunk->size() : newline == std::string::npos ? 0 : newline + 1;
        carried.assign(*chunk, whole);
        chunk->resize(whole);
        if (last)
            m_worker.take({chunk, nullptr});
        if (const Done parsed = last ? parseEnd(*chunk) : parse(chunk); !parsed)
            return parsed;
        if (carried.size() > chunkBytes && !m_inLongLine) {
            if (const Done text = checkStart(carried); !text)
                return text;
            carried = takePiece(std::move(carried), false);
        }
        if (m_options.progress)
            m_options.progress(m_bytes, std::max(size, m_bytes));
        if (last)
            return {};
    }
}

/// A log without any date got one from the caller: that must be seen.
void Intake::warnAboutDate()
{
    const bool hinted = m_options.dateHint || m_options.windowStart;
    const auto &types = m_parser.nmeaCounts().byType;
    if (m_profile.kind == FeedKind::Nmea && hinted && !types.contains("RMC") && !types.contains("ZDA") &&
        !m_parser.positions().empty())
        m_parser.report().warnings +=
            u"the log has times of day but no date; the day was given to it (by --date, else by the dive)."_s;
}

Result<IntakeData> Intake::ended()
{
    m_parser.finish();
    warnAboutDate();
    IntakeReport &report = m_parser.report();
    if (report.accepted == 0) {
        QString why = report.lines <= 1 ? u"it holds a header and nothing else"_s : u"it holds no record"_s;
        if (!report.rejects.empty()) {
            const ReasonCount &most = *std::max_element(
                report.rejects.begin(), report.rejects.end(),
                [](const ReasonCount &a, const ReasonCount &b) { return a.count < b.count; });
            why = u"%1 × %2, first in line %3"_s.arg(most.count).arg(most.reason).arg(most.firstLine);
        }
        for (const QString &warning : report.warnings)
            why += u"; "_s + (warning.endsWith(u'.') ? warning.chopped(1) : warning);
        return fail(ErrorKind::Malformed,
                    u"%1: no line of %2 could be used with profile %3: %4."_s.arg(m_name)
                        .arg(report.lines)
                        .arg(m_profile.name, why));
    }
    IntakeData data;
    data.profile = m_profile;
    data.fileName = m_name;
    data.bytes = m_bytes;
    data.positions = std::move(m_parser.positions());
    data.velocities = std::move(m_parser.velocities());
    data.acoustics = std::move(m_parser.acoustics());
    data.ctd = std::move(m_parser.ctd());
    data.report = std::move(report);
    warnOutsideWindow(data, m_options.windowStart, m_options.windowEnd);
    Result<Digest> digest = m_worker.finish();
    if (!digest)
        return digest.error();
    data.sha256 = digest->sha256;
    data.text = std::move(digest->text);
    return data;
}

Result<IntakeData> Intake::run(const ReadBytes &read, std::int64_t size)
{
    constexpr std::int64_t fewBytesALine = 40;
    m_parser.reserve(static_cast<std::size_t>(size / fewBytesALine));
    if (const Done all = readAll(read, size); !all)
        return all.error();
    if (m_bytes == 0)
        return fail(ErrorKind::Malformed,
                    u"%1 is empty: profile %2 expects a log with records."_s.arg(m_name, m_profile.name));
    return ended();
}

} // namespace

Result<IntakeData> intakeFile(const QString &path, const FeedProfile &profile, const IntakeOptions &options)
{
    const QFileInfo info(path);
    if (!info.exists())
        return fail(ErrorKind::NotFound, u"There is no file %1."_s.arg(path));
    if (info.isDir())
        return fail(ErrorKind::Unreadable, u"%1 is a folder: a log file was expected."_s.arg(path));
    if (!info.isFile())
        return fail(ErrorKind::Unreadable, u"%1 is no ordinary file: a log file was expected."_s.arg(path));
    QFile file(path);
    if (!file.open(QIODevice::ReadOnly | QIODevice::Unbuffered))
        return fail(ErrorKind::Unreadable, u"%1 could not be opened: %2."_s.arg(path, file.errorString()));
    const ReadBytes read = [&](char *into, std::size_t most) -> Result<std::size_t> {
        std::size_t got = 0;
        while (got < most) {
            const qint64 part = file.read(into + got, static_cast<qint64>(most - got));
            if (part < 0)
                return fail(ErrorKind::Unreadable,
                            u"%1 could not be read to its end: %2."_s.arg(path, file.errorString()));
            if (part == 0)
                break;
            got += static_cast<std::size_t>(part);
        }
        return got;
    };
    return Intake(info.fileName(), profile, options).run(read, info.size());
}

Result<IntakeData> intakeBytes(std::string_view bytes, const QString &name, const FeedProfile &profile,
                               const IntakeOptions &options)
{
    const auto size = static_cast<std::int64_t>(bytes.size());
    const ReadBytes read = [&bytes](char *into, std::size_t most) -> Result<std::size_t> {
        const std::size_t got = std::min(most, bytes.size());
        std::copy_n(bytes.data(), got, into);
        bytes.remove_prefix(got);
        return got;
    };
    return Intake(name, profile, options).run(read, size);
}

} // namespace holdfast
