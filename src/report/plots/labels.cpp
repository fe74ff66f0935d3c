#include "report/plots/labels.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <string_view>

#include "words/characters.hpp"
#include "words/columns.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::report::plots {

namespace {

bool overlap(const Box& a, const Box& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

bool within(const Box& a, const Box& b) {
  return a.left >= b.left && a.right <= b.right && a.top >= b.top && a.bottom <= b.bottom;
}

/// Boxes of this size around a mark: beside, above, below and at its corners.
std::vector<Box> boxes_around(const Box& mark, double width, double height, double apart) {
  const double middle_x = (mark.left + mark.right - width) / 2.0;
  const double middle_y = (mark.top + mark.bottom - height) / 2.0;
  const double right = mark.right + apart;
  const double left = mark.left - apart - width;
  const double above = mark.top - apart - height;
  const double below = mark.bottom + apart;
  std::vector<Box> boxes;
  for (const auto& [x, y] :
       {std::pair{right, middle_y}, std::pair{left, middle_y}, std::pair{middle_x, above},
        std::pair{middle_x, below}, std::pair{right, above}, std::pair{right, below},
        std::pair{left, above}, std::pair{left, below}}) {
    boxes.push_back({x, y, x + width, y + height});
  }
  return boxes;
}

/// The free space of a drawing, less and less of it.
class FreeSpace {
 public:
  FreeSpace(const Box& inside, const std::vector<Box>& taken) : inside_(inside), taken_(taken) {}

  /// At most so many lines away from the mark.
  std::optional<Box> take_beside(const std::vector<Box>& marks, double width, double height,
                                 double farthest) {
    const double line = height;
    for (const double apart : {0.15 * line, 0.6 * line, 1.2 * line, 2.2 * line}) {
      if (apart > farthest * line) break;
      for (const Box& mark : marks) {
        for (const Box& box : boxes_around(mark, width, height, apart)) {
          if (!is_free(box)) continue;
          taken_.push_back(box);
          return box;
        }
      }
    }
    return std::nullopt;
  }

 private:
  bool is_free(const Box& box) const {
    return within(box, inside_) && std::none_of(taken_.begin(), taken_.end(),
                                                [&](const Box& t) { return overlap(box, t); });
  }
  Box inside_;
  std::vector<Box> taken_;
};

enum class Named { all, some, where_they_fit, none };

/// The words a mark may have, the most telling first.
std::vector<std::string> choices_for(const Marked& marked, Named named) {
  const bool in_full = named == Named::all || (named != Named::none && marked.keeps_name);
  if (!in_full) return {marked.tag};
  if (named != Named::where_they_fit) return {label_words(marked.tag, marked.name)};
  return {label_words(marked.tag, marked.name), marked.tag};
}

std::vector<std::optional<Label>> laid_out(const std::vector<Marked>& marked, const Box& inside,
                                           const Lettering& lettering, Named named) {
  std::vector<Box> taken;
  for (const Marked& each : marked) taken.insert(taken.end(), each.marks.begin(), each.marks.end());
  FreeSpace space(inside, taken);
  // Among many marks, what stands apart from its own may be taken for that of another.
  const double farthest = named == Named::none ? 0.6 : 2.2;
  std::vector<std::optional<Label>> labels;
  for (const Marked& each : marked) {
    labels.emplace_back();
    for (const std::string& words : choices_for(each, named)) {
      const auto box =
          space.take_beside(each.marks, lettering.width(words), lettering.height, farthest);
      if (!box) continue;
      labels.back() = Label{words, *box};
      break;
    }
  }
  return labels;
}

/// Letters of a bold face in parts of its size, rounded up from the widest of the faces (DejaVu
/// Sans Bold).
double widest_letter(const words::Character& c) {
  using namespace std::string_view_literals;
  if (!c.valid || words::columns_of(c) > 1) return 1.1;
  if (words::columns_of(c) == 0) return 0.0;
  if ("fijlrtI.,:;'|!()[]- "sv.find(c.bytes) != std::string_view::npos) return 0.52;
  if ("mwMW@%"sv.find(c.bytes) != std::string_view::npos) return 1.12;
  if (c.code >= 'a' && c.code <= 'z') return 0.73;
  if (c.code >= '0' && c.code <= '9') return 0.7;
  return c.code < 0x80 ? 0.87 : 1.1;
}

}  // namespace

std::vector<std::optional<Label>> labels_at(
    const std::vector<std::pair<std::string, std::vector<Box>>>& wanted,
    const std::vector<Box>& kept_free, const Box& inside, const Lettering& lettering) {
  FreeSpace space(inside, kept_free);
  std::vector<std::optional<Label>> labels;
  for (const auto& [words, marks] : wanted) {
    const auto box = space.take_beside(marks, lettering.width(words), lettering.height, 1.2);
    labels.push_back(box ? std::optional(Label{words, *box}) : std::nullopt);
  }
  return labels;
}

std::vector<std::optional<Label>> labels_of(const std::vector<Marked>& marked, const Box& inside,
                                            const Lettering& lettering) {
  for (const Named named : {Named::all, Named::some, Named::where_they_fit}) {
    auto labels = laid_out(marked, inside, lettering, named);
    if (std::all_of(labels.begin(), labels.end(), [](const auto& l) { return l.has_value(); })) {
      return labels;
    }
  }
  return laid_out(marked, inside, lettering, Named::none);
}

std::vector<Box> in_lines(const std::vector<double>& widths, double left, double right,
                          double line_height) {
  std::vector<Box> boxes;
  double x = left;
  double y = 0.0;
  for (const double width : widths) {
    if (x > left && x + width > right) {
      x = left;
      y += line_height;
    }
    boxes.push_back({x, y, x + width, y + line_height});
    x += width;
  }
  return boxes;
}

std::string label_words(const std::string& tag, const std::string& name) {
  constexpr int most_columns = 24;
  const std::string shown = words::for_page(name);
  if (shown.empty()) return tag;
  if (words::columns(shown) <= most_columns) return tag + " " + shown;
  return tag + " " + std::string(words::front(shown, most_columns - 1)) + "…";
}

double widest_text(const std::string& text, double size) {
  double width = 0.0;
  for (std::string_view rest = text; !rest.empty();) {
    width += widest_letter(words::take_character(rest));
  }
  return size * width;
}

std::vector<Box> boxes_along(double x1, double y1, double x2, double y2, double thickness) {
  const double length = std::hypot(x2 - x1, y2 - y1);
  const int half = static_cast<int>(std::ceil(length / thickness / 2.0));
  std::vector<Box> boxes;
  const auto add = [&](double part) {
    const double x = x1 + part * (x2 - x1);
    const double y = y1 + part * (y2 - y1);
    boxes.push_back({x - thickness / 2, y - thickness / 2, x + thickness / 2, y + thickness / 2});
  };
  add(0.5);
  for (int i = 1; i <= half; ++i) {
    add(0.5 + 0.5 * i / half);
    add(0.5 - 0.5 * i / half);
  }
  return boxes;
}

}  // namespace lampbeat::report::plots
