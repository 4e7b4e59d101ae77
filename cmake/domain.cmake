# What nearly every file includes is compiled once for all folders of core/, and once for all test programs: reading the
# headers of Qt and the standard library is half of a cold build. Each file still includes what it uses.
set(holdfast_common_headers
    <QFileInfo> <QHash> <QJsonArray> <QJsonDocument> <QJsonObject> <QMap> <QSet> <QString> <QStringList> <QVariant>
    <algorithm> <array> <cmath> <functional> <memory> <optional> <span> <string> <utility> <vector> <tl/expected.hpp>)
# holdfast_precompiled(<target> <first> <headers> …): the first target compiles them, the others take them from it.
function(holdfast_precompiled target first)
    if(target STREQUAL first)
        target_precompile_headers(${target} PRIVATE ${ARGN})
    else()
        target_precompile_headers(${target} REUSE_FROM ${first})
    endif()
endfunction()

# A domain folder of core/ is one static library, so that an arrow in the wrong direction fails to link.
# holdfast_domain(<name> [MOC] SOURCES … [LINK …] [PRIVATE_LINK …]) makes holdfast_<name>; MOC where a header holds
# Q_OBJECT or Q_GADGET.
function(holdfast_domain name)
    cmake_parse_arguments(arg "MOC" "" "SOURCES;LINK;PRIVATE_LINK" ${ARGN})
    add_library(holdfast_${name} STATIC ${arg_SOURCES})
    target_include_directories(holdfast_${name} PUBLIC ${PROJECT_SOURCE_DIR}/core)
    target_link_libraries(holdfast_${name} PUBLIC ${arg_LINK} PRIVATE holdfast_warnings ${arg_PRIVATE_LINK})
    target_compile_options(holdfast_${name} PRIVATE -Wshadow)
    holdfast_precompiled(holdfast_${name} holdfast_base ${holdfast_common_headers})
    if(arg_MOC)
        set_target_properties(holdfast_${name} PROPERTIES AUTOMOC ON)
    endif()
endfunction()

# holdfast_test(<name> [LABEL …] SOURCES … LINK …) makes one GoogleTest program and registers each of its tests.
# Tests find the repository through the environment variable HOLDFAST_SOURCE_DIR, never by a compiled-in path.
function(holdfast_test name)
    cmake_parse_arguments(arg "" "LABEL" "SOURCES;LINK" ${ARGN})
    add_executable(${name} ${arg_SOURCES})
    target_include_directories(${name} PRIVATE ${PROJECT_SOURCE_DIR}/tests)
    # Test code runs once: compiling it fast is worth more than running it fast. What it tests stays optimised.
    target_compile_options(${name} PRIVATE -O0)
    holdfast_precompiled(${name} base_tests <gmock/gmock.h> <gtest/gtest.h> ${holdfast_common_headers})
    target_link_libraries(${name} PRIVATE ${arg_LINK} GTest::gmock GTest::gtest_main holdfast_warnings)
    gtest_discover_tests(${name} DISCOVERY_MODE PRE_TEST TEST_LIST ${name}_list)
    # The environment is a list, which gtest_discover_tests would take apart: set it on the tests it has found.
    set(environment "${CMAKE_CURRENT_BINARY_DIR}/${name}_environment.cmake")
    file(CONFIGURE OUTPUT "${environment}" @ONLY CONTENT "if(@name@_list)
    set_tests_properties(\${@name@_list} PROPERTIES ENVIRONMENT
        \"QT_QPA_PLATFORM=offscreen;HOLDFAST_SOURCE_DIR=@PROJECT_SOURCE_DIR@;HOLDFAST_BINARY_DIR=@PROJECT_BINARY_DIR@\"
        LABELS \"@arg_LABEL@\")
endif()
")
    set_property(DIRECTORY APPEND PROPERTY TEST_INCLUDE_FILES "${environment}")
endfunction()
