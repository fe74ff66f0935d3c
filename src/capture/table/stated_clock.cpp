#include "capture/table/stated_clock.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>

#include "capture/table/cell_number.hpp"
#include "capture/table/cells.hpp"

namespace lampbeat::capture::table {
namespace {

enum class Quantity { interval, rate };

/// A unit of either, and how many of it are a second or a hertz.
struct StatedUnit {
  Quantity quantity = Quantity::interval;
  double per_base = 1.0;
};

/// A name such as "Sample Interval (us)".
struct StatedName {
  Quantity quantity = Quantity::interval;
  std::optional<StatedUnit> unit;
};

/// Small letters only, but for the slash of "S/s"; every micro sign becomes "u".
std::string bare(std::string_view text) {
  std::string letters;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    const std::string_view two = text.substr(i, 2);
    if (two == "\xC2\xB5" || two == "\xCE\xBC") {
      letters += 'u';
      ++i;
    } else if (c == '\xB5') {
      letters += 'u';
    } else if (c >= 'A' && c <= 'Z') {
      letters += static_cast<char>(c - 'A' + 'a');
    } else if ((c >= 'a' && c <= 'z') || c == '/') {
      letters += c;
    }
  }
  return letters;
}

/// The unit that a cell, or what stands in brackets, is; "MS/s" and "ms" differ in their case.
std::optional<StatedUnit> unit_in(std::string_view cell) {
  struct Spelling {
    std::string_view letters;
    StatedUnit unit;
  };
  constexpr StatedUnit s{Quantity::interval, 1.0};
  constexpr StatedUnit ms{Quantity::interval, 1e3};
  constexpr StatedUnit us{Quantity::interval, 1e6};
  constexpr StatedUnit ns{Quantity::interval, 1e9};
  constexpr StatedUnit hz{Quantity::rate, 1.0};
  constexpr StatedUnit khz{Quantity::rate, 1e-3};
  constexpr StatedUnit mhz{Quantity::rate, 1e-6};
  static constexpr std::array spellings = {Spelling{"s", s},
                                           Spelling{"sec", s},
                                           Spelling{"second", s},
                                           Spelling{"seconds", s},
                                           Spelling{"sekunden", s},
                                           Spelling{"ms", ms},
                                           Spelling{"msec", ms},
                                           Spelling{"millisecond", ms},
                                           Spelling{"milliseconds", ms},
                                           Spelling{"us", us},
                                           Spelling{"usec", us},
                                           Spelling{"microsecond", us},
                                           Spelling{"microseconds", us},
                                           Spelling{"ns", ns},
                                           Spelling{"nsec", ns},
                                           Spelling{"nanosecond", ns},
                                           Spelling{"nanoseconds", ns},
                                           Spelling{"hz", hz},
                                           Spelling{"hertz", hz},
                                           Spelling{"khz", khz},
                                           Spelling{"mhz", mhz},
                                           Spelling{"sps", hz},
                                           Spelling{"ksps", khz},
                                           Spelling{"msps", mhz},
                                           Spelling{"s/s", hz},
                                           Spelling{"ks/s", khz},
                                           Spelling{"ms/s", mhz},
                                           Spelling{"sa/s", hz},
                                           Spelling{"ksa/s", khz},
                                           Spelling{"msa/s", mhz},
                                           Spelling{"samples/s", hz},
                                           Spelling{"ksamples/s", khz},
                                           Spelling{"samplespersecond", hz},
                                           Spelling{"/s", hz},
                                           Spelling{"persecond", hz}};
  const std::string letters = bare(cell);
  for (const Spelling& spelling : spellings) {
    if (spelling.letters == letters) return spelling.unit;
  }
  return std::nullopt;
}

std::optional<Quantity> quantity_named(std::string_view letters) {
  static constexpr std::array<std::string_view, 33> intervals = {"sampleinterval",
                                                                 "samplinginterval",
                                                                 "sampleperiod",
                                                                 "samplingperiod",
                                                                 "sampletime",
                                                                 "samplingtime",
                                                                 "samplespacing",
                                                                 "samplestep",
                                                                 "increment",
                                                                 "timeincrement",
                                                                 "xincrement",
                                                                 "xincr",
                                                                 "xinc",
                                                                 "horizontalinterval",
                                                                 "horizontalincrement",
                                                                 "hincrement",
                                                                 "deltat",
                                                                 "dt",
                                                                 "deltatime",
                                                                 "timestep",
                                                                 "timeinterval",
                                                                 "timedelta",
                                                                 "tincrement",
                                                                 "timepersample",
                                                                 "secondspersample",
                                                                 "loginterval",
                                                                 "logginginterval",
                                                                 "scaninterval",
                                                                 "intervalpersample",
                                                                 "abtastintervall",
                                                                 "abtastperiode",
                                                                 "abtastzeit",
                                                                 "sampledt"};
  static constexpr std::array<std::string_view, 20> rates = {"samplerate",
                                                             "samplingrate",
                                                             "samplefrequency",
                                                             "samplingfrequency",
                                                             "samplefreq",
                                                             "samplingfreq",
                                                             "samplespersecond",
                                                             "samplespersec",
                                                             "sps",
                                                             "fs",
                                                             "scanrate",
                                                             "acquisitionrate",
                                                             "samplingspeed",
                                                             "loggingrate",
                                                             "lograte",
                                                             "datarate",
                                                             "abtastrate",
                                                             "abtastfrequenz",
                                                             "samplesperseconds",
                                                             "samples/s"};
  const auto among = [&](const auto& list) {
    return std::find(list.begin(), list.end(), letters) != list.end();
  };
  if (among(intervals)) return Quantity::interval;
  if (among(rates)) return Quantity::rate;
  return std::nullopt;
}

/// A unit in brackets, or behind the last blank or underscore: "Sampling rate [kHz]", "dt_us".
std::optional<StatedName> name_in(std::string_view cell) {
  constexpr std::size_t longest = 60;
  if (cell.empty() || cell.size() > longest) return std::nullopt;
  if (const auto quantity = quantity_named(bare(cell))) return StatedName{*quantity, {}};
  const std::size_t mark = cell.find_last_of("([_ ");
  if (mark == std::string_view::npos || mark == 0) return std::nullopt;
  const auto quantity = quantity_named(bare(trimmed(cell.substr(0, mark))));
  const auto unit = unit_in(cell.substr(mark + 1));
  if (!quantity || !unit) return std::nullopt;
  return StatedName{*quantity, unit};
}

/// A number with or without a unit behind it: "50 kHz", "2.0E-05".
struct Figure {
  std::string_view digits;
  double value = 0.0;
  std::optional<StatedUnit> unit;
};

std::optional<Figure> figure_in(std::string_view cell, char decimal) {
  if (!cell.empty() && cell.front() == '+') cell.remove_prefix(1);
  double value = 0.0;
  const char* const end = cell.data() + cell.size();
  const char* stop = words::read_number(cell.data(), end, decimal, value);
  if (stop && stop != end && *stop == ',') stop = words::read_number(cell.data(), end, ',', value);
  if (!stop || !std::isfinite(value)) return std::nullopt;
  const auto length = static_cast<std::size_t>(stop - cell.data());
  Figure figure{cell.substr(0, length), value, {}};
  const std::string_view rest = trimmed(cell.substr(length));
  if (rest.empty()) return figure;
  figure.unit = unit_in(rest);
  return figure.unit ? std::optional(figure) : std::nullopt;
}

std::optional<clock::StatedInterval> interval_from(const StatedName& name, Figure figure,
                                                   char decimal, std::uint64_t line) {
  if (!(figure.value > 0.0)) return std::nullopt;
  if (!figure.unit) figure.unit = name.unit;
  const StatedUnit unit = figure.unit.value_or(StatedUnit{name.quantity, 1.0});
  const double base = figure.value / unit.per_base;
  clock::StatedInterval stated;
  stated.interval_s = unit.quantity == Quantity::interval ? base : 1.0 / base;
  stated.tolerance = clock::rounding_of_figure(figure.digits, decimal, figure.value);
  stated.line = line;
  stated.has_unit = figure.unit.has_value();
  if (!std::isfinite(stated.interval_s) || !(stated.interval_s > 0.0)) return std::nullopt;
  return stated;
}

/// The words of a header line, cut at everything that parts a name from its value.
Cells pieces_of(std::string_view line, const Reading& reading) {
  while (!line.empty() && line.front() == '#') line.remove_prefix(1);
  Cells pieces;
  const bool commas_separate =
      reading.separator == Separator::comma ||
      (reading.decimal == '.' && (reading.separator == Separator::blank || reading.columns == 1));
  const std::string_view marks = commas_separate ? ":=;\t," : ":=;\t";
  while (true) {
    const std::size_t stop = std::min(line.find_first_of(marks), line.size());
    std::string_view piece = trimmed(line.substr(0, stop));
    while (!piece.empty() && (piece.front() == '"' || piece.front() == ' ')) piece.remove_prefix(1);
    while (!piece.empty() && (piece.back() == '"' || piece.back() == ' ')) piece.remove_suffix(1);
    // "Sampling rate 50 kHz" holds its value itself.
    const std::size_t blank = piece.find_first_of(' ');
    std::size_t digit = piece.find_first_of("0123456789");
    const bool inside = digit != std::string_view::npos && digit > 0 &&
                        blank != std::string_view::npos && piece[digit - 1] == ' ';
    if (inside && name_in(trimmed(piece.substr(0, digit)))) {
      pieces.push_back(trimmed(piece.substr(0, digit)));
      pieces.push_back(piece.substr(digit));
    } else {
      pieces.push_back(piece);
    }
    if (stop == line.size()) return pieces;
    line.remove_prefix(stop + 1);
  }
}

/// What follows a name on its line: its value, and a unit before or behind it.
std::optional<clock::StatedInterval> beside(const Cells& cells, std::size_t at,
                                            const StatedName& name, char decimal,
                                            std::uint64_t line) {
  constexpr std::size_t reach = 3;
  std::optional<Figure> figure;
  std::optional<StatedUnit> unit;
  for (std::size_t i = at + 1; i < std::min(cells.size(), at + 1 + reach); ++i) {
    if (const auto found = figure_in(cells[i], decimal)) {
      if (figure) break;
      figure = found;
    } else if (const auto named = unit_in(cells[i])) {
      if (!unit) unit = named;
    } else if (!cells[i].empty()) {
      break;
    }
  }
  if (!figure) return std::nullopt;
  if (!figure->unit) figure->unit = unit;
  return interval_from(name, *figure, decimal, line);
}

/// What stands below a name within the lines down to the first row.
std::optional<clock::StatedInterval> below(const Head& head, const Reading& reading,
                                           std::size_t line, std::size_t column,
                                           const StatedName& name) {
  constexpr std::size_t reach = 4;
  std::optional<StatedUnit> unit = name.unit;
  Cells cells;
  for (std::size_t i = line + 1; i < head.lines.size() && i <= line + reach; ++i) {
    split_cells(head.lines[i].text, reading.separator, cells);
    if (column >= cells.size()) continue;
    if (const auto named = unit_in(cells[column])) unit = named;
    if (const auto figure = figure_in(cells[column], reading.decimal)) {
      // A column that goes on is no statement.
      Cells next;
      if (i + 1 < head.lines.size()) {
        split_cells(head.lines[i + 1].text, reading.separator, next);
        if (column < next.size() && figure_in(next[column], reading.decimal)) return std::nullopt;
      }
      return interval_from({name.quantity, unit}, *figure, reading.decimal, head.lines[i].number);
    }
    if (i >= reading.first) break;
  }
  return std::nullopt;
}

bool same(const clock::StatedInterval& a, const clock::StatedInterval& b) {
  const double between = std::abs(a.interval_s - b.interval_s);
  constexpr double rounding = 1e-6;
  return between <= (a.tolerance + b.tolerance + rounding) * b.interval_s;
}

void note(std::vector<clock::StatedInterval>& all,
          const std::optional<clock::StatedInterval>& stated) {
  if (!stated) return;
  for (clock::StatedInterval& known : all) {
    if (!same(*stated, known)) continue;
    if (stated->tolerance < known.tolerance) known = *stated;
    return;
  }
  all.push_back(*stated);
}

}  // namespace

bool states_interval(std::string_view line, const Reading& reading) {
  const Cells cells = pieces_of(line, reading);
  for (std::size_t k = 0; k < cells.size(); ++k) {
    const auto name = name_in(cells[k]);
    if (name && beside(cells, k, *name, reading.decimal, 0)) return true;
  }
  return false;
}

std::vector<clock::StatedInterval> stated_intervals(const Head& head, const Reading& reading) {
  constexpr std::size_t rows_with_settings = 32;
  std::vector<clock::StatedInterval> all;
  Cells cells;
  for (std::size_t i = 0; i < head.lines.size() && i < reading.first + rows_with_settings; ++i) {
    const std::string_view text = head.lines[i].text;
    if (i < reading.first) {
      cells = pieces_of(text, reading);
    } else {
      split_cells(text, reading.separator, cells);
    }
    for (std::size_t k = 0; k < cells.size(); ++k) {
      const auto name = name_in(cells[k]);
      if (name) note(all, beside(cells, k, *name, reading.decimal, head.lines[i].number));
    }
    if (i >= reading.first) continue;
    split_cells(text, reading.separator, cells);
    for (std::size_t k = 0; k < cells.size(); ++k) {
      const auto name = name_in(cells[k]);
      if (name) note(all, below(head, reading, i, k, *name));
    }
  }
  return all;
}

}  // namespace lampbeat::capture::table
