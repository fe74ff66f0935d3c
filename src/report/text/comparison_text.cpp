#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/comparison_words.hpp"
#include "words/foreign_text.hpp"
#include "words/sections.hpp"
#include "words/table.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

using namespace report;

std::string course_of(const FigureChange& f) {
  return fmt::format("{} → {}", value_words(f.before), value_words(f.after));
}

std::string remark_of(const FigureChange& f) {
  const std::string change = change_words(f);
  const std::string words = changed_words(f);
  return change.empty() ? words : fmt::format("{}, {}", change, words);
}

/// Figures neither of the two has are no rows.
bool is_known(const FigureChange& f) {
  return f.before.value || f.after.value || f.before.at_most || f.after.at_most;
}

/// A name that leaves room for what stands beside it.
std::string name_in(const std::string& name, const TextStyle& style) {
  constexpr int beside = 24;  // "Whether ... changed is not known."
  return words::shown_name(name, std::min(words::longest_name, style.width - beside));
}

std::string occasion_line(const Occasion& occasion, const TextStyle& style) {
  constexpr int beside = 48;  // labels and the date
  return occasion_words(
      occasion,
      words::shown_name(occasion.source, std::min(words::longest_name, style.width - beside)));
}

std::vector<words::TableRow> rows_of(const Comparison& c, const TextStyle& style) {
  std::vector<words::TableRow> rows;
  for (const FigureChange& f : c.figures) {
    if (is_known(f)) rows.push_back({f.before.what, course_of(f), remark_of(f)});
  }
  if (c.filming_before && c.filming_after) {
    rows.push_back({"filming",
                    fmt::format("{} → {}", filming_words(c.filming_before->filming),
                                filming_words(c.filming_after->filming)),
                    ""});
  }
  if (c.before && c.after && c.before->seen && c.after->seen) {
    rows.push_back(
        {"in the picture",
         fmt::format("{} → {}", verdict_word(*c.before->seen), verdict_word(*c.after->seen)), ""});
  }
  if (c.before) rows.push_back({"before", occasion_line(*c.before, style), ""});
  if (c.after) rows.push_back({"after", occasion_line(*c.after, style), ""});
  return rows;
}

std::string reasons_of(const Comparison& c, const TextStyle& style) {
  std::string text;
  for (const Finding& reason : c.reasons) {
    text += words::wrapped(words::for_terminal(reason.message), style.width, "  ") + "\n";
  }
  return text;
}

}  // namespace

std::string to_text(const std::vector<Comparison>& comparisons, const TextStyle& style) {
  const std::string name = comparisons.empty() ? "" : name_in(comparisons.front().fixture, style);
  std::string text =
      words::bold(words::wrapped(summary_words(comparisons, name), style.width), style) + "\n";
  for (const Comparison* c : by_urgency(comparisons)) {
    text += "\n";
    if (comparisons.size() > 1) {
      text +=
          words::bold(fmt::format("{}: {}", name_in(c->fixture, style), change_word(c->verdict)),
                      style) +
          "\n";
    }
    text += reasons_of(*c, style);
    const std::string table = words::table(rows_of(*c, style), style);
    if (!table.empty()) text += "\n" + table;
  }
  return text;
}

}  // namespace lampbeat
