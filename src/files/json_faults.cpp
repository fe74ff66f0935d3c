#include "files/json_faults.hpp"

#include <fmt/format.h>

#include <set>
#include <utility>
#include <vector>

#include "files/json.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::files::json {

namespace {

/// Our files are five deep; what walks through a document goes down as deep as it is.
constexpr std::size_t deepest = 100;

/// Follows the parser through a document and stops it at the first fault.
class FaultFinder : public nlohmann::json_sax<Json> {
 public:
  std::optional<Fault> fault() const { return fault_; }

  bool null() override { return value(); }
  bool boolean(bool) override { return value(); }
  bool number_integer(number_integer_t) override { return value(); }
  bool number_unsigned(number_unsigned_t) override { return value(); }
  bool number_float(number_float_t, const string_t&) override { return value(); }
  bool string(string_t&) override { return value(); }
  bool binary(binary_t&) override { return value(); }

  bool start_object(std::size_t) override { return enter(false); }
  bool start_array(std::size_t) override { return enter(true); }
  bool end_object() override { return leave(); }
  bool end_array() override { return leave(); }

  bool key(string_t& name) override {
    Level& level = levels_.back();
    level.key = name;
    if (level.keys.insert(name).second) return true;
    fault_ = {std::nullopt,
              fmt::format("{} is written twice{}", words::quoted(name), where_of_object())};
    return false;
  }

  bool parse_error(std::size_t byte, const std::string& token,
                   const nlohmann::detail::exception& error) override {
    constexpr int number_overflow = 406;
    fault_ = {byte,
              error.id == number_overflow
                  ? fmt::format("{} is a larger number than can be read", words::excerpt(token))
                  : "not valid JSON"};
    return false;
  }

 private:
  /// An object or list the parser is inside of.
  struct Level {
    bool list = false;
    std::size_t entries = 0;
    std::string key;  ///< the one whose value is read
    std::set<std::string> keys;
  };

  bool value() {
    if (!levels_.empty()) ++levels_.back().entries;
    return true;
  }

  bool enter(bool list) {
    value();
    levels_.push_back({list, 0, {}, {}});
    if (levels_.size() <= deepest) return true;
    fault_ = {std::nullopt,
              fmt::format("not valid JSON of ours, nested deeper than {} levels", deepest)};
    return false;
  }

  bool leave() {
    levels_.pop_back();
    return true;
  }

  /// ", in entry 1 of "fixtures""; nothing of the outermost object.
  std::string where_of_object() const {
    std::string where;
    for (std::size_t i = 0; i + 1 < levels_.size(); ++i) {
      const Level& level = levels_[i];
      const std::string step =
          level.list ? fmt::format("entry {}", level.entries) : words::quoted(level.key);
      where = fmt::format("{}{}{}", step, where.empty() ? "" : " of ", where);
    }
    return where.empty() ? "" : ", in " + where;
  }

  std::vector<Level> levels_;
  std::optional<Fault> fault_;
};

}  // namespace

std::optional<Fault> fault_of(const std::string& text) {
  FaultFinder finder;
  Json::sax_parse(text, &finder);
  return finder.fault();
}

}  // namespace lampbeat::files::json
