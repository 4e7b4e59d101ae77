# One interface target carries the warnings, so that a packager's default build never turns them into errors.
add_library(holdfast_warnings INTERFACE)
target_compile_options(holdfast_warnings INTERFACE
    -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wold-style-cast
    -Wimplicit-fallthrough -Woverloaded-virtual -Wnon-virtual-dtor)
option(HOLDFAST_WERROR "Treat warnings as errors" OFF)
if(HOLDFAST_WERROR)
    target_compile_options(holdfast_warnings INTERFACE -Werror)
endif()
option(HOLDFAST_SANITIZE "Build with address and undefined-behaviour sanitizers" OFF)
if(HOLDFAST_SANITIZE)
    add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=undefined)
    add_link_options(-fsanitize=address,undefined)
endif()
