#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>

#include "files/whole_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shelf_file.hpp"
#include "words/number_reader.hpp"

namespace lampbeat {

namespace {

/// A hundred thousand fixtures.
constexpr std::size_t most_bytes = 16'000'000;

/// One record and the line it starts on; quoted cells may hold separators, quotes and line breaks
/// (RFC 4180).
struct Record {
  std::vector<std::string> cells;
  std::size_t line = 1;
};

class Records {
 public:
  Records(std::string path, const std::string& text, char separator)
      : path_(std::move(path)), text_(text), separator_(separator) {}

  std::optional<Record> next() {
    if (at_ >= text_.size()) return std::nullopt;
    Record record;
    record.line = line_;
    while (true) {
      record.cells.push_back(cell());
      if (at_ < text_.size() && text_[at_] == separator_) {
        ++at_;
        continue;
      }
      end_line();
      return record;
    }
  }

 private:
  std::string cell() {
    return at_ < text_.size() && text_[at_] == '"' ? quoted_cell() : plain_cell();
  }

  std::string plain_cell() {
    const std::size_t from = at_;
    while (at_ < text_.size() && text_[at_] != separator_ && text_[at_] != '\n' &&
           text_[at_] != '\r') {
      ++at_;
    }
    const std::string cell = text_.substr(from, at_ - from);
    const std::size_t first = cell.find_first_not_of(" \t");
    if (first == std::string::npos) return {};
    return cell.substr(first, cell.find_last_not_of(" \t") - first + 1);
  }

  std::string quoted_cell() {
    const std::size_t opened_on = line_;
    std::string cell;
    for (++at_; at_ < text_.size(); ++at_) {
      if (text_[at_] == '"') {
        if (at_ + 1 >= text_.size() || text_[at_ + 1] != '"') {
          ++at_;
          while (at_ < text_.size() &&
                 (text_[at_] == ' ' || (text_[at_] == '\t' && separator_ != '\t')))
            ++at_;
          const bool ended = at_ >= text_.size() || text_[at_] == separator_ ||
                             text_[at_] == '\n' || text_[at_] == '\r';
          if (ended) return cell;
          throw InputError(fmt::format(
              "{}, line {}: text after a closing quote; write a quote inside a cell twice", path_,
              line_));
        }
        ++at_;
      }
      line_ += text_[at_] == '\n' ? 1 : 0;
      cell += text_[at_];
    }
    throw InputError(
        fmt::format("{}, line {}: a quote is opened and never closed", path_, opened_on));
  }

  void end_line() {
    if (at_ < text_.size() && text_[at_] == '\r') ++at_;
    if (at_ < text_.size() && text_[at_] == '\n') ++at_;
    ++line_;
  }

  std::string path_;
  const std::string& text_;
  char separator_;
  std::size_t at_ = 0;
  std::size_t line_ = 1;
};

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(c < 128 ? std::tolower(c) : c); });
  return text;
}

char separator_of(const std::string& text) {
  const std::string header = text.substr(0, text.find_first_of("\r\n"));
  char best = ',';
  for (const char candidate : {',', ';', '\t'}) {
    if (std::count(header.begin(), header.end(), candidate) >
        std::count(header.begin(), header.end(), best)) {
      best = candidate;
    }
  }
  return best;
}

std::string beside(const std::string& shelf, const std::string& path) {
  const std::filesystem::path own(path);
  if (own.is_absolute()) return path;
  return (std::filesystem::path(shelf).parent_path() / own).string();
}

}  // namespace

bool is_shelf(const std::string& path) {
  constexpr std::size_t longest_header = 4096;
  const std::string head = files::front_of_file(path, longest_header);
  const std::string header = head.substr(0, head.find_first_of("\r\n"));
  try {
    const auto record = Records(path, header, separator_of(header)).next();
    if (!record) return false;
    bool fixture = false;
    bool capture = false;
    for (const std::string& cell : record->cells) {
      fixture = fixture || lower(cell) == "fixture";
      capture = capture || lower(cell) == "capture";
    }
    return fixture && capture;
  } catch (const InputError&) {
    return false;
  }
}

std::vector<ShelfEntry> read_shelf(const std::string& path) {
  const std::string text = files::whole_file(path, most_bytes, "a shelf file");
  Records records(path, text, separator_of(text));
  const auto header = records.next();
  const auto column = [&](const char* name) -> std::optional<std::size_t> {
    if (!header) return std::nullopt;
    for (std::size_t i = 0; i < header->cells.size(); ++i) {
      if (lower(header->cells[i]) == name) return i;
    }
    return std::nullopt;
  };
  const auto fixture = column("fixture");
  const auto capture = column("capture");
  if (!fixture || !capture) {
    throw InputError(path +
                     ", line 1: a shelf file starts with a header that names the columns "
                     "fixture,capture[,dark,level,notes]");
  }
  const auto dark = column("dark");
  const auto level = column("level");
  const auto notes = column("notes");

  std::vector<ShelfEntry> entries;
  while (const auto record = records.next()) {
    const auto cell = [&](std::optional<std::size_t> i) {
      return i && *i < record->cells.size() ? record->cells[*i] : std::string();
    };
    const bool blank = std::all_of(record->cells.begin(), record->cells.end(),
                                   [](const std::string& c) { return c.empty(); });
    if (blank) continue;
    if (record->cells.size() > header->cells.size()) {
      throw InputError(
          fmt::format("{}, line {}: {} cells where the header names {}; quote a cell "
                      "that holds a separator",
                      path, record->line, record->cells.size(), header->cells.size()));
    }
    if (cell(fixture).empty() || cell(capture).empty()) {
      throw InputError(fmt::format("{}, line {}: the {} is missing", path, record->line,
                                   cell(fixture).empty() ? "fixture's name" : "capture's path"));
    }
    const bool dark_is_file = !cell(dark).empty() && !words::number_in(cell(dark));
    entries.push_back({cell(fixture), beside(path, cell(capture)),
                       dark_is_file ? beside(path, cell(dark)) : cell(dark), cell(level),
                       cell(notes)});
  }
  if (entries.empty()) throw InputError(path + ": a shelf file with no fixture in it");
  return entries;
}

}  // namespace lampbeat
