// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/canonical.h"

#include <QJsonArray>
#include <QJsonDocument>
#include <gtest/gtest.h>

using namespace holdfast;

namespace
{
QByteArray canonical(const char *json)
{
    const QJsonDocument d = QJsonDocument::fromJson(json);
    const auto out = canonicalJson(d.isArray() ? QJsonValue(d.array()) : QJsonValue(d.object()));
    return out ? *out : QByteArray("refused: ") + out.error().sentence.toUtf8();
}
} // namespace

// The sorting example of RFC 8785, section 3.2.3: keys in order of UTF-16 code units, not of code points.
TEST(CanonicalJson, SortsKeysAsRfc8785Does)
{
    const char *json =
        "{\"\\u20ac\":\"Euro Sign\",\"\\r\":\"Carriage Return\",\"\\ufb33\":\"Hebrew Letter Dalet With "
        "Dagesh\",\"1\":\"One\",\"\\ud83d\\ude00\":\"Emoji: Grinning Face\",\"\\u0080\":\"Control\","
        "\"\\u00f6\":\"Latin Small Letter O With Diaeresis\"}";
    const QByteArray out = canonical(json);
    const QList<QByteArray> order{
        "Carriage Return", "One",   "Control", "Latin Small Letter O With Diaeresis",
        "Euro Sign",       "Emoji", "Hebrew"};
    qsizetype at = 0;
    for (const QByteArray &word : order) {
        const qsizetype found = out.indexOf(word);
        ASSERT_GT(found, at) << word.toStdString();
        at = found;
    }
}

// The string of RFC 8785, section 3.2.2 (serialization of strings), escapes in their shortest form.
TEST(CanonicalJson, EscapesAsRfc8785Does)
{
    EXPECT_EQ(canonical("[\"\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\\"\\/\"]"),
              QByteArray("[\"\xe2\x82\xac$\\u000f\\nA'B\\\"\\\\\\\\\\\"/\"]"));
}

TEST(CanonicalJson, KeepsNoBlanksAndNoFractions)
{
    EXPECT_EQ(canonical("{ \"b\" : [1, -2, true, null], \"a\" : {} }"),
              QByteArray("{\"a\":{},\"b\":[1,-2,true,null]}"));
    EXPECT_TRUE(canonical("[1.5]").startsWith("refused"));
    EXPECT_TRUE(canonical("[1e300]").startsWith("refused"));
    EXPECT_EQ(canonical("[9007199254740991]"), QByteArray("[9007199254740991]"));
}

TEST(CanonicalJson, RefusesHalfACharacter)
{
    EXPECT_FALSE(canonicalJson(QJsonArray{QString(QChar(0xD800))}));
}

// FIPS 180-4 / NIST example "abc".
TEST(CanonicalEntry, HashIsSha256)
{
    EXPECT_EQ(sha256Hex("abc"),
              QStringLiteral("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"));
}

// The example of core/ledger/README.md; its hash was computed with sha256sum over the bytes shown there.
TEST(CanonicalEntry, HasTheBytesThatTheDocumentShows)
{
    Entry e;
    e.station = QStringLiteral("van");
    e.seq = 2;
    e.lamport = 2;
    e.uuid = QStringLiteral("6f1c7f1e-3c1b-4b8e-9a52-0d5e8f6c2a11");
    e.timeUs = 1773325327300123;
    e.actor = QStringLiteral("Mara");
    e.verb = QStringLiteral("stamp taken");
    e.body = QStringLiteral("{\"dive\":4}");
    e.prev = zeroHash();
    EXPECT_EQ(canonicalEntry(e),
              QByteArray("{\"actor\":\"Mara\",\"body\":{\"dive\":4},\"lamport\":2,\"prev\":\"") +
                  QByteArray(64, '0') +
                  "\",\"seq\":2,\"station\":\"van\",\"time\":\"2026-03-12T14:22:07.300123Z\","
                  "\"uuid\":\"6f1c7f1e-3c1b-4b8e-9a52-0d5e8f6c2a11\",\"verb\":\"stamp taken\"}");
    EXPECT_EQ(sha256Hex(canonicalEntry(e)),
              QStringLiteral("788dc6de42928910b6dc1561093c6ec279141e87f351f09caf4fbf27e29c000c"));
}
