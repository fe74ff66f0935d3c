#pragma once

#include <optional>

#include "lampbeat/comparison.hpp"

namespace lampbeat::reasoning::comparison {

/// As `rate` judges it; empty where the light is not known.
std::optional<FilmingRating> filming_of(const Occasion& occasion);

/// Which way the filming class went, where it went further than the uncertainty of the depth can
/// take it: the one that is fitter is judged at the deep end of its ±, the other at the shallow
/// one.
enum class ClassChange { none, better, worse, within_uncertainty };
ClassChange class_change(const Occasion& before, const std::optional<FilmingRating>& was,
                         const Occasion& after, const std::optional<FilmingRating>& is);

}  // namespace lampbeat::reasoning::comparison
