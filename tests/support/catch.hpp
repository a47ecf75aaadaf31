#pragma once
// Catch2 as Debian 12 (version 2) and Debian 13 (version 3) have it.

#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
using Catch::Approx;
#else
#include <catch2/catch.hpp>
#endif
