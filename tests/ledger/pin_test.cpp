// SPDX-License-Identifier: GPL-3.0-or-later
#include "ledger/pin_book.h"

#include "ledger/station_key.h"
#include "support/small_files.h"
#include "support/temp_dir.h"

#include <sodium.h>

using namespace holdfast;

namespace
{

const QString mara = QStringLiteral("Mara");
const UtcTime noon = utcFromMicroseconds(1'773'316'800'000'000);

class Pins : public test::WithFolder
{
protected:
    void SetUp() override
    {
        WithFolder::SetUp();
        auto made = StationKey::make();
        ASSERT_OK(made);
        key = made->publicKey();
        ASSERT_OK(book().set(mara, QStringLiteral("4711"), {}, noon));
    }
    /// A fresh one each time, as another program at the station would have.
    PinBook book()
    {
        auto opened = PinBook::open(key);
        EXPECT_TRUE(opened);
        return *opened;
    }
    QString file() const { return stationFolder(key) + QStringLiteral("/pins"); }
    QString key;
};

} // namespace

TEST_F(Pins, ConfirmTheRightPersonOnly)
{
    EXPECT_TRUE(book().confirm(mara, QStringLiteral("4711"), noon));
    EXPECT_EQ(book().confirm(mara, QStringLiteral("4712"), noon).error().kind, ErrorKind::Refused);
    EXPECT_EQ(book().confirm(mara, {}, noon).error().kind, ErrorKind::Refused);
    EXPECT_EQ(book().confirm(QStringLiteral("Ana"), QStringLiteral("4711"), noon).error().kind,
              ErrorKind::NotFound);
}

TEST_F(Pins, AreKeptAsArgon2idForTheOwnerOnly)
{
    const QByteArray bytes = bytesOf(file());
    EXPECT_TRUE(bytes.contains("$argon2id$v=19$")) << bytes.toStdString();
    EXPECT_FALSE(bytes.contains("4711"));
    EXPECT_EQ(QFile::permissions(file()) & (QFile::ReadGroup | QFile::ReadOther), QFile::Permissions());
    QFile::setPermissions(file(), QFile::permissions(file()) | QFile::ReadOther);
    EXPECT_FALSE(PinBook::open(key));
}

// A hash made by another program that follows RFC 9106: the reference's own test of argon2id, version 19
// ("password", "somesalt", 2 passes, 64 MiB, 1 lane), quoted from memory and confirmed by the library's
// verification.
TEST(Argon2id, IsTheOneOfTheReference)
{
    ASSERT_GE(sodium_init(), 0);
    const char *hash =
        "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc";
    EXPECT_EQ(crypto_pwhash_str_verify(hash, "password", 8), 0);
    EXPECT_NE(crypto_pwhash_str_verify(hash, "Password", 8), 0);
}

TEST_F(Pins, MakeWhoGuessesWaitLongerEachTime)
{
    for (int i = 0; i < 5; ++i)
        EXPECT_FALSE(book().confirm(mara, QStringLiteral("0001"), noon));
    EXPECT_FALSE(book().confirm(mara, QStringLiteral("4711"), noon + std::chrono::seconds(59)))
        << "not even the right one";
    EXPECT_FALSE(book().confirm(mara, QStringLiteral("0002"), noon + std::chrono::seconds(61)));
    const auto waits = book().confirm(mara, QStringLiteral("4711"), noon + std::chrono::seconds(180));
    ASSERT_FALSE(waits);
    EXPECT_TRUE(waits.error().sentence.contains(QStringLiteral("wait until")))
        << waits.error().sentence.toStdString();
    EXPECT_TRUE(book().confirm(mara, QStringLiteral("4711"), noon + std::chrono::seconds(182)));
    EXPECT_FALSE(book().confirm(mara, QStringLiteral("0003"), noon + std::chrono::seconds(183)));
    EXPECT_TRUE(book().confirm(mara, QStringLiteral("4711"), noon + std::chrono::seconds(183)))
        << "counted anew";
}

TEST_F(Pins, ChangeOnlyWithTheOldOneOrWhenForgotten)
{
    EXPECT_FALSE(book().set(mara, QStringLiteral("8023"), QStringLiteral("1111"), noon));
    ASSERT_OK(book().set(mara, QStringLiteral("8023"), QStringLiteral("4711"), noon));
    EXPECT_FALSE(book().confirm(mara, QStringLiteral("4711"), noon));
    EXPECT_TRUE(book().confirm(mara, QStringLiteral("8023"), noon));
    ASSERT_OK(book().forget(mara));
    EXPECT_FALSE(book().has(mara));
    ASSERT_OK(book().set(mara, QStringLiteral("112233"), {}, noon));
    for (const char *bad : {"", "123", "1234567890123", "12a4", "7777", "12 4"})
        EXPECT_FALSE(book().set(QStringLiteral("Ana"), QString::fromLatin1(bad), {}, noon)) << bad;
}

TEST_F(Pins, BelongToAStationThatIsHere)
{
    EXPECT_FALSE(PinBook::open(QString(64, QLatin1Char('a'))));
}

TEST_F(Pins, AreOfThePersonHoweverTheNameIsSpelt)
{
    const QString other = mara.toUpper() + QLatin1Char(' ');
    EXPECT_TRUE(book().has(other));
    EXPECT_TRUE(book().confirm(other, QStringLiteral("4711"), noon));
    EXPECT_FALSE(book().set(other, QStringLiteral("8023"), {}, noon))
        << "nobody sets a second PIN for another spelling";
    ASSERT_OK(book().forget(other));
    EXPECT_FALSE(book().has(mara));
}

TEST_F(Pins, AFullDiskIsNotTakenForSomebodyElse)
{
    const QByteArray before = bytesOf(file());
    for (const rlim_t room : {rlim_t{0}, rlim_t{100}}) { // for nothing at all; for the lock, but not for the PINs
        Done done;
        {
            const test::SmallFiles limit(room);
            done = book().set(QStringLiteral("Ana"), QStringLiteral("8152"), {}, noon);
        }
        ASSERT_FALSE(done) << room;
        EXPECT_EQ(done.error().kind, ErrorKind::Unwritable) << done.error().sentence.toStdString();
        EXPECT_EQ(bytesOf(file()), before);
    }
    EXPECT_TRUE(book().set(QStringLiteral("Ana"), QStringLiteral("8152"), {}, noon));
}
