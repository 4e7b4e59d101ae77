// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "feed/nmea.h"

#include <limits>

// Invented sentences, good and broken, and what NMEA 0183 / IEC 61162-1 makes of them. Checksums: exclusive
// or of the characters between '$' and '*'. Positions were also decoded by an independent reader, to 1e-9
// degree. Whether a sentence without checksum is used is left open by the standard (NoChecksum). Rows of one
// session are one stream in this order.
namespace holdfast::testdata
{

struct NmeaRow {
    const char *name;
    const char *session;
    const char *sentence;
    int checksum; // -1: none can be computed
    ChecksumState state;
    NmeaOutcome outcome;
    const char *type;
    const char *time;
    const char *date;
    double latitude; // NaN: none
    double longitude;
    int quality; // -1: none
    const char *values;
    const char *instant;
};

inline constexpr double none = std::numeric_limits<double>::quiet_NaN();

// clang-format off
inline constexpr NmeaRow nmeaRows[] = {
    {"N1", "", "$GPGGA,142207.30,2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,3.0,0120*67", 0x67, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "14:22:07.300", "", -21.0758683333, 173.2147333333, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", ""},
    {"N2", "", "$GNGGA,142208,4431.20,N,12523.40,W,4,18,0.5,17.6,M,-21.3,M,1.2,0131*7A", 0x7A, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "14:22:08.000", "", 44.5200000000, -125.3900000000, 4, "satellites=18;hdop=0.5;altitude_m=17.6;geoid_separation_m=-21.3", ""},
    {"N3", "", "$INGGA,142208.123,7807.40701,N,00512.00049,E,5,14,0.7,20.00,M,33.20,M,,*76", 0x76, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "14:22:08.123", "", 78.1234501667, 5.2000081667, 5, "satellites=14;hdop=0.7;altitude_m=20;geoid_separation_m=33.2", ""},
    {"N4", "", "$GPGGA,030405.06,0000.0300,S,03000.0000,W,1,08,1.1,12.0,M,,M,,*42", 0x42, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "03:04:05.060", "", -0.0005000000, -30.0000000000, 1, "satellites=8;hdop=1.1;altitude_m=12", ""},
    {"N5", "", "$GPGGA,030406.00,0000.0000,N,00000.0000,E,1,08,1.1,12.0,M,17.0,M,,*50", 0x50, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "03:04:06.000", "", 0.0000000000, 0.0000000000, 1, "satellites=8;hdop=1.1;altitude_m=12;geoid_separation_m=17", ""},
    {"N6", "", "$GPGGA,101112.5,8959.9400,N,04000.0000,E,1,09,1.3,10.0,M,15.0,M,,*61", 0x61, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "10:11:12.500", "", 89.9990000000, 40.0000000000, 1, "satellites=9;hdop=1.3;altitude_m=10;geoid_separation_m=15", ""},
    {"N7", "", "$GPGGA,101113.5,9000.0000,S,00000.0000,E,1,09,1.3,10.0,M,15.0,M,,*70", 0x70, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "10:11:13.500", "", -90.0000000000, 0.0000000000, 1, "satellites=9;hdop=1.3;altitude_m=10;geoid_separation_m=15", ""},
    {"N8", "", "$GPGGA,101114.5,1730.0000,S,18000.0000,E,1,09,1.3,10.0,M,15.0,M,,*72", 0x72, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "10:11:14.500", "", -17.5000000000, 180.0000000000, 1, "satellites=9;hdop=1.3;altitude_m=10;geoid_separation_m=15", ""},
    {"N9", "", "$GPGLL,2104.5521,S,17312.8840,E,142207.30,A,D*76", 0x76, ChecksumState::Ok, NmeaOutcome::Accept, "GLL", "14:22:07.300", "", -21.0758683333, 173.2147333333, -1, "status=A;mode=D", ""},
    {"N10", "", "$GPGLL,5959.9999,N,00000.0001,W,000000.00,A*17", 0x17, ChecksumState::Ok, NmeaOutcome::Accept, "GLL", "00:00:00.000", "", 59.9999983333, -0.0000016667, -1, "status=A", ""},
    {"N11", "", "$GPGLL,6018.0000,N,01218.0000,W,235959.999,A,A*46", 0x46, ChecksumState::Ok, NmeaOutcome::Accept, "GLL", "23:59:59.999", "", 60.3000000000, -12.3000000000, -1, "status=A;mode=A", ""},
    {"N12", "", "$GNRMC,142207.30,A,2104.5521,S,17312.8840,E,1.3,214.0,120326,12.9,E,D*0F", 0x0F, ChecksumState::Ok, NmeaOutcome::Accept, "RMC", "14:22:07.300", "2026-03-12", -21.0758683333, 173.2147333333, -1, "status=A;speed_knots=1.3;course_true_deg=214", ""},
    {"N13", "", "$GPRMC,080910.00,A,3612.5000,N,12200.7500,W,000.4,359.9,290228,,,A*4D", 0x4D, ChecksumState::Ok, NmeaOutcome::Accept, "RMC", "08:09:10.000", "2028-02-29", 36.2083333333, -122.0125000000, -1, "status=A;speed_knots=0.4;course_true_deg=359.9", ""},
    {"N14", "", "$GPZDA,142207.30,12,03,2026,00,00*61", 0x61, ChecksumState::Ok, NmeaOutcome::Accept, "ZDA", "14:22:07.300", "2026-03-12", none, none, -1, "", ""},
    {"N15", "", "$GPZDA,235959.00,29,02,2028,-11,30*48", 0x48, ChecksumState::Ok, NmeaOutcome::Accept, "ZDA", "23:59:59.000", "2028-02-29", none, none, -1, "", ""},
    {"N16", "", "$HEHDT,214.0,T*28", 0x28, ChecksumState::Ok, NmeaOutcome::Accept, "HDT", "", "", none, none, -1, "heading_true_deg=214", ""},
    {"N17", "", "$GPHDT,0.00,T*05", 0x05, ChecksumState::Ok, NmeaOutcome::Accept, "HDT", "", "", none, none, -1, "heading_true_deg=0", ""},
    {"N18", "", "$INHDT,359.99,T*1A", 0x1A, ChecksumState::Ok, NmeaOutcome::Accept, "HDT", "", "", none, none, -1, "heading_true_deg=359.99", ""},
    {"N19", "", "$SDDBT,4699.8,f,1432.6,M,783.4,F*06", 0x06, ChecksumState::Ok, NmeaOutcome::Accept, "DBT", "", "", none, none, -1, "depth_m=1432.6", ""},
    {"N20", "", "$SDDPT,1427.1,5.5,2000.0*56", 0x56, ChecksumState::Ok, NmeaOutcome::Accept, "DPT", "", "", none, none, -1, "depth_below_transducer_m=1427.1;offset_m=5.5", ""},
    {"N21", "", "$SDDPT,62.4,-1.2*49", 0x49, ChecksumState::Ok, NmeaOutcome::Accept, "DPT", "", "", none, none, -1, "depth_below_transducer_m=62.4;offset_m=-1.2", ""},
    {"N22", "", "$SDDBT,,f,12.5,M,,F*30", 0x30, ChecksumState::Ok, NmeaOutcome::Accept, "DBT", "", "", none, none, -1, "depth_m=12.5", ""},
    {"N23", "", "$GPVTG,214.0,T,201.1,M,1.3,N,2.4,K,D*27", 0x27, ChecksumState::Ok, NmeaOutcome::Accept, "VTG", "", "", none, none, -1, "course_true_deg=214;speed_knots=1.3;speed_km_h=2.4", ""},
    {"N24", "", "$GPVTG,,T,,M,0.0,N,0.0,K,A*23", 0x23, ChecksumState::Ok, NmeaOutcome::Accept, "VTG", "", "", none, none, -1, "speed_knots=0;speed_km_h=0", ""},
    {"N25", "", "$GPGGA,142209.30,,,,,0,00,99.9,,M,,M,,*50", 0x50, ChecksumState::Ok, NmeaOutcome::NoFix, "GGA", "14:22:09.300", "", none, none, 0, "satellites=0;hdop=99.9", ""},
    {"N26", "", "$GPGGA,142210.30,2104.5521,S,17312.8840,E,0,03,9.9,14.2,M,57.1,M,,*46", 0x46, ChecksumState::Ok, NmeaOutcome::NoFix, "GGA", "14:22:10.300", "", -21.0758683333, 173.2147333333, 0, "satellites=3;hdop=9.9;altitude_m=14.2;geoid_separation_m=57.1", ""},
    {"N27", "", "$GPGLL,2104.5521,S,17312.8840,E,142211.30,V,N*6C", 0x6C, ChecksumState::Ok, NmeaOutcome::NoFix, "GLL", "14:22:11.300", "", -21.0758683333, 173.2147333333, -1, "status=V;mode=N", ""},
    {"N28", "", "$GPRMC,142212.30,V,,,,,,,120326,,,N*7C", 0x7C, ChecksumState::Ok, NmeaOutcome::NoFix, "RMC", "14:22:12.300", "2026-03-12", none, none, -1, "status=V", ""},
    {"N29", "", "$GPGGA,,2104.5521,S,17312.8840,E,1,08,1.1,14.2,M,57.1,M,,*65", 0x65, ChecksumState::Ok, NmeaOutcome::NoFix, "GGA", "", "", -21.0758683333, 173.2147333333, 1, "satellites=8;hdop=1.1;altitude_m=14.2;geoid_separation_m=57.1", ""},
    {"N30", "", "$HEHDT,,T*01", 0x01, ChecksumState::Ok, NmeaOutcome::NoFix, "HDT", "", "", none, none, -1, "", ""},
    {"N31", "", "$GPGGA,142207.30,2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,3.0,0120*66", 0x67, ChecksumState::Bad, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N32", "", "$GPGLL,2104.5521,S,17312.8841,E,142207.30,A,D*76", 0x77, ChecksumState::Bad, NmeaOutcome::Reject, "GLL", "", "", none, none, -1, "", ""},
    {"N33", "", "$GPGGA,142213.30,2104.5523,S,17312.8808,E,2,11,0.8,14.2,M,57.1,M,3.0,0120*6c", 0x6C, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "14:22:13.300", "", -21.0758716667, 173.2146800000, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", ""},
    {"N34", "", "$GPGGA,142219.30,2104.5524,S,17312.8849,E,2,11,0.8,14.2,M,57.1,M,3.0,0120", 0x64, ChecksumState::Absent, NmeaOutcome::NoChecksum, "GGA", "14:22:19.300", "", -21.0758733333, 173.2147483333, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", ""},
    {"N35", "", "$HEHDT,214.3,T*2", 0x2B, ChecksumState::Malformed, NmeaOutcome::Reject, "HDT", "", "", none, none, -1, "", ""},
    {"N36", "", "$HEHDT,214.4,T*G1", 0x2C, ChecksumState::Malformed, NmeaOutcome::Reject, "HDT", "", "", none, none, -1, "", ""},
    {"N37", "", "$GPGGA,142220.30,2104.55", 0x55, ChecksumState::Absent, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N38", "", "HEHDT,214.5,T*2D", -1, ChecksumState::Malformed, NmeaOutcome::Reject, "HDT", "", "", none, none, -1, "", ""},
    {"N39", "", "", -1, ChecksumState::Absent, NmeaOutcome::Reject, "", "", "", none, none, -1, "", ""},
    {"N40", "", "$", -1, ChecksumState::Absent, NmeaOutcome::Reject, "", "", "", none, none, -1, "", ""},
    {"N41", "", "$GPGGA,142221.30,2104.5$HEHDT,214.6,T*2E", 0x6B, ChecksumState::Malformed, NmeaOutcome::Reject, "", "", "", none, none, -1, "", ""},
    {"N42", "", "$GPGGA,142222.30,2160.0000,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*4F", 0x4F, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N43", "", "$GPGGA,142222.30,2104.5521,S,17360.0001,E,2,11,0.8,14.2,M,57.1,M,,*4E", 0x4E, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N44", "", "$GPGGA,142223.30,9104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*44", 0x44, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N45", "", "$GPGGA,142223.30,9000.0001,N,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*5E", 0x5E, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N46", "", "$GPGGA,142224.30,2104.5521,S,18100.0000,E,2,11,0.8,14.2,M,57.1,M,,*42", 0x42, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N47", "", "$GPGGA,142225.30,2104.5521,X,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*42", 0x42, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N48", "", "$GPGGA,142225.30,2104.5521,,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*1A", 0x1A, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N49", "", "$GPGGA,142225.30,21O4.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*36", 0x36, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N50", "", "$GPGLL,2104.5521,S,17312.8840,E*70", 0x70, ChecksumState::Ok, NmeaOutcome::Reject, "GLL", "", "", none, none, -1, "", ""},
    {"N51", "", "$GPGGA,246000.00,2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*48", 0x48, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N52", "", "$GPGGA,125960.00,2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*41", 0x41, ChecksumState::Ok, NmeaOutcome::Reject, "GGA", "", "", none, none, -1, "", ""},
    {"N53", "", "$GPZDA,120000.00,31,04,2026,00,00*65", 0x65, ChecksumState::Ok, NmeaOutcome::Reject, "ZDA", "", "", none, none, -1, "", ""},
    {"N54", "", "$GPZDA,120000.00,29,02,2026,00,00*6A", 0x6A, ChecksumState::Ok, NmeaOutcome::Reject, "ZDA", "", "", none, none, -1, "", ""},
    {"N55", "", "$GPRMC,120000.00,A,2104.5521,S,17312.8840,E,1.3,214.0,321326,,,A*44", 0x44, ChecksumState::Ok, NmeaOutcome::Reject, "RMC", "", "", none, none, -1, "", ""},
    {"N56", "", "$HEHDT,-1.0,T*03", 0x03, ChecksumState::Ok, NmeaOutcome::Reject, "HDT", "", "", none, none, -1, "", ""},
    {"N57", "", "$SDDBT,4699.8,f,abc,M,783.4,F*7A", 0x7A, ChecksumState::Ok, NmeaOutcome::Reject, "DBT", "", "", none, none, -1, "", ""},
    {"N58", "", "$PHFX,1,2*05", 0x05, ChecksumState::Ok, NmeaOutcome::Ignore, "HFX", "", "", none, none, -1, "", ""},
    {"N59", "", "$GPGSV,1,1,00*79", 0x79, ChecksumState::Ok, NmeaOutcome::Ignore, "GSV", "", "", none, none, -1, "", ""},
    {"N60", "midnight", "$GPZDA,235958.00,31,12,2026,00,00*61", 0x61, ChecksumState::Ok, NmeaOutcome::Accept, "ZDA", "23:59:58.000", "2026-12-31", none, none, -1, "", "2026-12-31T23:59:58.000Z"},
    {"N61", "midnight", "$GPGGA,235959.50,2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*4C", 0x4C, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "23:59:59.500", "", -21.0758683333, 173.2147333333, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", "2026-12-31T23:59:59.500Z"},
    {"N62", "midnight", "$GPGGA,000000.50,2104.5522,S,17312.8842,E,2,11,0.8,14.2,M,57.1,M,,*4C", 0x4C, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "00:00:00.500", "", -21.0758700000, 173.2147366667, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", "2027-01-01T00:00:00.500Z"},
    {"N63", "midnight", "$GPGGA,235959.80,2104.5521,S,17312.8841,E,2,11,0.8,14.2,M,57.1,M,,*40", 0x40, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "23:59:59.800", "", -21.0758683333, 173.2147350000, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", "2026-12-31T23:59:59.800Z"},
    {"N64", "midnight", "$GPZDA,000001.00,01,01,2027,00,00*60", 0x60, ChecksumState::Ok, NmeaOutcome::Accept, "ZDA", "00:00:01.000", "2027-01-01", none, none, -1, "", "2027-01-01T00:00:01.000Z"},
    {"N65", "february", "$GPRMC,235959.00,A,2104.5521,S,17312.8840,E,1.3,214.0,280226,,,A*4D", 0x4D, ChecksumState::Ok, NmeaOutcome::Accept, "RMC", "23:59:59.000", "2026-02-28", -21.0758683333, 173.2147333333, -1, "status=A;speed_knots=1.3;course_true_deg=214", "2026-02-28T23:59:59.000Z"},
    {"N66", "february", "$GPGLL,2104.5522,S,17312.8843,E,000001.00,A,A*73", 0x73, ChecksumState::Ok, NmeaOutcome::Accept, "GLL", "00:00:01.000", "", -21.0758700000, 173.2147383333, -1, "status=A;mode=A", "2026-03-01T00:00:01.000Z"},
    {"N67", "leap", "$GPZDA,235959.00,31,12,2016,00,00*63", 0x63, ChecksumState::Ok, NmeaOutcome::Accept, "ZDA", "23:59:59.000", "2016-12-31", none, none, -1, "", "2016-12-31T23:59:59.000Z"},
    {"N68", "leap", "$GPGGA,235960.00,2104.5521,S,17312.8840,E,2,11,0.8,14.2,M,57.1,M,,*43", 0x43, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "23:59:60.000", "", -21.0758683333, 173.2147333333, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", "2017-01-01T00:00:00.000Z"},
    {"N69", "leap", "$GPGGA,000000.00,2104.5522,S,17312.8841,E,2,11,0.8,14.2,M,57.1,M,,*4A", 0x4A, ChecksumState::Ok, NmeaOutcome::Accept, "GGA", "00:00:00.000", "", -21.0758700000, 173.2147350000, 2, "satellites=11;hdop=0.8;altitude_m=14.2;geoid_separation_m=57.1", "2017-01-01T00:00:00.000Z"},
    {"N70", "nodate", "$GPGLL,2104.5522,S,17312.8843,E,120000.00,A,A*71", 0x71, ChecksumState::Ok, NmeaOutcome::Accept, "GLL", "12:00:00.000", "", -21.0758700000, 173.2147383333, -1, "status=A;mode=A", ""},
};
// clang-format on

} // namespace holdfast::testdata
