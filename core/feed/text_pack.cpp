// SPDX-License-Identifier: GPL-3.0-or-later
#include "feed/text_pack.h"

#include <algorithm>
#include <zstd.h>

namespace holdfast
{

namespace
{

constexpr int compressionLevel = 3;
constexpr std::uint64_t mostUnpacked = std::uint64_t{1} << 30;
enum Kind : std::uint8_t { Whole = 0, Columns = 1 };

Error damaged(const char *what)
{
    return fail(ErrorKind::Malformed,
                QStringLiteral("The packed text of a log is damaged: %1.").arg(QString::fromLatin1(what)));
}

Done putCompressed(std::string_view text, Bytes &out)
{
    putVarint(text.size(), out);
    Bytes frame(ZSTD_compressBound(text.size()));
    const std::size_t size =
        ZSTD_compress(frame.data(), frame.size(), text.data(), text.size(), compressionLevel);
    if (ZSTD_isError(size) != 0)
        return fail(ErrorKind::Internal, QStringLiteral("A log could not be compressed: %1.")
                                             .arg(QString::fromLatin1(ZSTD_getErrorName(size))));
    putVarint(size, out);
    out.insert(out.end(), frame.begin(), frame.begin() + static_cast<std::ptrdiff_t>(size));
    return {};
}

Result<std::string> takeCompressed(ByteReader &in)
{
    const auto size = in.takeVarint();
    const auto packed = size ? in.takeVarint() : size;
    if (!packed)
        return packed.error();
    const auto frame = in.take(*packed);
    if (!frame)
        return frame.error();
    if (*size > mostUnpacked)
        return damaged("an impossible size");
    std::string text(*size, '\0');
    const std::size_t got = ZSTD_decompress(text.data(), text.size(), frame->data(), frame->size());
    if (ZSTD_isError(got) != 0 || got != text.size())
        return damaged("its compressed part can't be read");
    return text;
}

Result<Bytes> packColumns(const LineTable &table)
{
    const LineShape &shape = table.shape;
    Bytes out = {Kind::Columns, static_cast<std::uint8_t>(shape.delimiter),
                 static_cast<std::uint8_t>(shape.carriageReturn ? 2 : 1)};
    putVarint(shape.columns.size(), out);
    for (const ColumnShape &column : shape.columns) {
        out.push_back(column.time ? 1 : 0);
        out.push_back(column.decimals);
    }
    putVarint(table.lines, out);
    putVarint(table.exceptions.size(), out);
    packInts(table.exceptions, out);
    if (const Done put = putCompressed(table.exceptionText, out); !put)
        return put.error();
    for (const auto &column : table.columns)
        packInts(column, out);
    return out;
}

Result<LineShape> takeShape(ByteReader &in)
{
    const auto head = in.take(2);
    const auto count = head ? in.takeVarint() : Result<std::uint64_t>(head.error());
    if (!count)
        return count.error();
    if (*count > mostTableColumns || *count == 0)
        return damaged("an impossible number of columns");
    LineShape shape;
    shape.delimiter = static_cast<char>((*head)[0]);
    shape.carriageReturn = (*head)[1] == 2;
    for (std::uint64_t i = 0; i < *count; ++i) {
        const auto column = in.take(2);
        if (!column)
            return column.error();
        if ((*column)[1] > 9)
            return damaged("an impossible number of decimals");
        shape.columns.push_back({(*column)[0] == 1, (*column)[1]});
    }
    return shape;
}

/// True when all times are in the years 1900 to 2200, the only ones that matchTime() takes.
bool allDatable(const std::vector<std::int64_t> &numbers, unsigned decimals)
{
    std::int64_t scale = 1;
    for (unsigned i = 0; i < decimals; ++i)
        scale *= 10;
    return std::all_of(numbers.begin(), numbers.end(), [&](std::int64_t n) {
        return n / scale > -2'209'000'000 && n / scale < 7'290'000'000;
    });
}

Result<std::string> unpackColumns(ByteReader &in)
{
    const Result<LineShape> shape = takeShape(in);
    if (!shape)
        return shape.error();
    const auto lines = in.takeVarint();
    const auto exceptions = lines ? in.takeVarint() : lines;
    if (!exceptions)
        return exceptions.error();
    if (*lines > mostUnpacked || *exceptions > *lines)
        return damaged("an impossible number of lines");
    LineTable table;
    table.shape = *shape;
    table.lines = *lines;
    auto places = unpackInts(in, *exceptions);
    if (!places)
        return places.error();
    table.exceptions = std::move(*places);
    auto texts = takeCompressed(in);
    if (!texts)
        return texts.error();
    table.exceptionText = std::move(*texts);
    // Each exception must have its place among the lines and its text, or the rows would run out.
    for (std::size_t i = 0; i < table.exceptions.size(); ++i) {
        const bool rising = i == 0 || table.exceptions[i] > table.exceptions[i - 1];
        if (!rising || table.exceptions[i] < 0 || table.exceptions[i] >= static_cast<std::int64_t>(*lines))
            return damaged("lines in an impossible order");
    }
    const auto ends = std::count(table.exceptionText.begin(), table.exceptionText.end(), '\n');
    const bool open = !table.exceptionText.empty() && table.exceptionText.back() != '\n';
    if (ends + (open ? 1 : 0) != static_cast<std::ptrdiff_t>(*exceptions))
        return damaged("a kept line is missing");
    for (std::size_t c = 0; c < shape->columns.size(); ++c) {
        auto column = unpackInts(in, *lines - *exceptions);
        if (!column)
            return column.error();
        if (shape->columns[c].time && !allDatable(*column, shape->columns[c].decimals))
            return damaged("an impossible time");
        table.columns.push_back(std::move(*column));
    }
    return putTogether(table);
}

} // namespace

Result<Bytes> packText(std::string_view text, char delimiter)
{
    return packText(text, takeApart(text, delimiter));
}

Result<Bytes> packText(std::string_view text, const LineTable &table)
{
    if (!table.shape.columns.empty() && table.exceptions.size() * 4 <= table.lines) {
        Result<Bytes> packed = packColumns(table);
        if (!packed)
            return packed;
        const Result<std::string> again = unpackText(*packed);
        if (again && *again == text)
            return packed;
    }
    Bytes whole = {Kind::Whole};
    if (const Done put = putCompressed(text, whole); !put)
        return put.error();
    return whole;
}

Result<std::string> unpackText(std::span<const std::uint8_t> packed)
{
    ByteReader in(packed);
    const auto kind = in.takeByte();
    if (!kind)
        return kind.error();
    if (*kind != Kind::Whole && *kind != Kind::Columns)
        return damaged("an unknown kind");
    return *kind == Kind::Whole ? takeCompressed(in) : unpackColumns(in);
}

} // namespace holdfast
