#include "words/dates.hpp"

#include <fmt/format.h>

#include <chrono>

#include "words/number_reader.hpp"

namespace lampbeat::words {

namespace {

constexpr std::int64_t minute = 60;
constexpr std::int64_t hour = 60 * minute;
constexpr std::int64_t day = 24 * hour;

/// Eats a text from its front.
class Reader {
 public:
  explicit Reader(std::string_view text) : rest_(text) {}

  bool done() const { return rest_.empty(); }
  bool take(std::string_view any_of) {
    if (rest_.empty() || any_of.find(rest_.front()) == std::string_view::npos) return false;
    rest_.remove_prefix(1);
    return true;
  }
  char front() const { return rest_.empty() ? '\0' : rest_.front(); }
  /// A number of exactly so many digits, up to `most`.
  std::optional<int> number(std::size_t digits, int most) {
    if (rest_.size() < digits) return std::nullopt;
    int value = 0;
    for (std::size_t i = 0; i < digits; ++i) {
      if (!is_digit(rest_[i])) return std::nullopt;
      value = 10 * value + (rest_[i] - '0');
    }
    rest_.remove_prefix(digits);
    return value <= most ? std::optional(value) : std::nullopt;
  }
  /// Tenths of a second and less, which no log needs.
  void pass_fraction() {
    if (!take(".,")) return;
    while (!rest_.empty() && is_digit(rest_.front())) rest_.remove_prefix(1);
  }

 private:
  std::string_view rest_;
};

std::optional<std::int64_t> midnight(Reader& text) {
  using namespace std::chrono;
  const auto y = text.number(4, 9999);
  if (!y || *y < 1970 || !text.take("-")) return std::nullopt;
  const auto m = text.number(2, 12);
  if (!m || !text.take("-")) return std::nullopt;
  const auto d = text.number(2, 31);
  if (!d) return std::nullopt;
  const year_month_day date{year{*y}, month{static_cast<unsigned>(*m)},
                            std::chrono::day{static_cast<unsigned>(*d)}};
  if (!date.ok()) return std::nullopt;
  return sys_days(date).time_since_epoch().count() * day;
}

/// "18:30" or "18:30:05.5".
std::optional<std::int64_t> of_the_day(Reader& text) {
  const auto h = text.number(2, 23);
  if (!h || !text.take(":")) return std::nullopt;
  const auto m = text.number(2, 59);
  if (!m) return std::nullopt;
  std::int64_t seconds = *h * hour + *m * minute;
  if (!text.take(":")) return seconds;
  const auto s = text.number(2, 60);  // leap seconds are written so
  if (!s) return std::nullopt;
  text.pass_fraction();
  return seconds + *s;
}

/// How far the zone is ahead of UTC.
std::optional<std::int64_t> zone(Reader& text) {
  if (text.done() || text.take("Zz")) return 0;
  const int sign = text.front() == '-' ? -1 : 1;
  if (!text.take("+-")) return std::nullopt;
  const auto h = text.number(2, 23);
  if (!h) return std::nullopt;
  text.take(":");
  const auto m = text.done() ? std::optional(0) : text.number(2, 59);
  if (!m) return std::nullopt;
  return sign * (*h * hour + *m * minute);
}

std::chrono::year_month_day date_of(std::int64_t seconds) {
  using namespace std::chrono;
  return year_month_day(floor<days>(sys_seconds(std::chrono::seconds(seconds))));
}

}  // namespace

std::optional<std::int64_t> time_in(std::string_view text) {
  Reader reader(text);
  const auto date = midnight(reader);
  if (!date) return std::nullopt;
  if (reader.done()) return date;
  if (!reader.take("Tt ")) return std::nullopt;
  const auto time = of_the_day(reader);
  if (!time) return std::nullopt;
  const auto ahead = zone(reader);
  if (!ahead || !reader.done()) return std::nullopt;
  return *date + *time - *ahead;
}

std::string utc_day(std::int64_t seconds) {
  const auto date = date_of(seconds);
  return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                     static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

std::string utc_time(std::int64_t seconds) {
  const std::int64_t of_day = ((seconds % day) + day) % day;
  return fmt::format("{}T{:02}:{:02}:{:02}Z", utc_day(seconds), of_day / hour,
                     of_day % hour / minute, of_day % minute);
}

}  // namespace lampbeat::words
