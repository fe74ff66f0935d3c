#pragma once

// Debian 12 ships Catch2 2, newer systems Catch2 3; the tests use what both have.
#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
using Catch::Approx;
#else
#include <catch2/catch.hpp>
#endif
