#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "report/plots/floor_plan.hpp"

// Names beside what they name, none across another, across a mark or beyond the drawing.

namespace lampbeat::report::plots {

/// Something marked on a drawing.
struct Marked {
  std::string tag;          ///< its short name: "3"
  std::string name;         ///< may be empty
  std::vector<Box> marks;   ///< what its mark covers, its middle first
  bool keeps_name = false;  ///< where room is scarce, its name stays longer than those of others
};

/// The lettering: how high a line is, and no less than how wide these words come out in it.
struct Lettering {
  double height = 0.0;
  std::function<double(const std::string&)> width;
};

struct Label {
  std::string words;
  Box box;
};

/// A label for each of them: tag and name where there is room for the names of all; else names for
/// those that keep theirs, or for as many of those as fit; else tags alone. Empty for one that is
/// so crowded that not even its tag fits.
std::vector<std::optional<Label>> labels_of(const std::vector<Marked>& marked, const Box& inside,
                                            const Lettering& lettering);

/// The same for words that each may stand at any of several points.
std::vector<std::optional<Label>> labels_at(
    const std::vector<std::pair<std::string, std::vector<Box>>>& wanted,
    const std::vector<Box>& kept_free, const Box& inside, const Lettering& lettering);

/// Boxes of these widths beside each other, in as many lines as it takes between `left` and
/// `right`, the first line at 0.
std::vector<Box> in_lines(const std::vector<double>& widths, double left, double right,
                          double line_height);

/// Tag and name as a label has them; a long name is cut.
std::string label_words(const std::string& tag, const std::string& name);

/// No less than how wide a text comes out in bold letters of this size, in any of the faces that
/// page.css asks for.
double widest_text(const std::string& text, double size);

/// Boxes along a line, `thickness` wide and high, the middle one first.
std::vector<Box> boxes_along(double x1, double y1, double x2, double y2, double thickness);

}  // namespace lampbeat::report::plots
