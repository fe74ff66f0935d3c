#include "capture/read_ahead.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "capture/table/text_table.hpp"
#include "capture/unreadable.hpp"
#include "files/byte_source.hpp"
#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/scratch.hpp"

// A long table is read on a thread of its own; nobody can tell.

namespace {

using namespace lampbeat;
using test::ScratchFile;

std::unique_ptr<CaptureSource> read_at_once(const std::string& path) {
  return capture::table::open_text_table(files::ByteSource(path, capture::unreadable_capture), {});
}

/// `decimals` of the times decide whether they are taken as printed or rebuilt.
std::string table_of(int rows, int decimals, const std::string& last_line) {
  std::string text = "time_s,light\n";
  for (int i = 0; i < rows; ++i) {
    text += fmt::format("{:.{}f},{:.6f}\n", i * 2e-5, decimals, 0.25 + 0.1 * std::sin(0.0126 * i));
  }
  return text + last_line;
}

/// All that a source says while it is read.
struct Heard {
  std::vector<std::size_t> blocks;
  std::vector<double> value, time_s, bound_s, interval_s;
  std::vector<std::string> findings;
};

Heard heard(CaptureSource& source) {
  Heard all;
  for (bool more = true; more;) {
    const SampleBlock block = source.next();
    more = !block.value.empty();
    all.blocks.push_back(block.value.size());
    all.value.insert(all.value.end(), block.value.begin(), block.value.end());
    all.time_s.insert(all.time_s.end(), block.time_s.begin(), block.time_s.end());
    all.bound_s.push_back(block.time_bound_s);
    all.interval_s.push_back(source.clock().interval_s);
    for (const Finding& finding : source.findings()) all.findings.push_back(finding.message);
  }
  return all;
}

std::string refusal(const auto& work) {
  try {
    work();
  } catch (const InputError& error) {
    return error.what();
  }
  return "none";
}

}  // namespace

TEST_CASE("a table read ahead says the same as one read at once") {
  for (const int decimals : {5, 7}) {
    const ScratchFile file("ahead.csv", table_of(60'000, decimals, ""));
    const Heard once = heard(*read_at_once(file.path()));
    const Heard ahead = heard(*capture::read_ahead(read_at_once(file.path())));
    REQUIRE(once.value.size() == 60'000);
    CHECK(ahead.blocks == once.blocks);
    CHECK(ahead.value == once.value);
    CHECK(ahead.time_s == once.time_s);
    CHECK(ahead.bound_s == once.bound_s);
    CHECK(ahead.interval_s == once.interval_s);
    CHECK(ahead.findings == once.findings);
  }
}

TEST_CASE("a source read ahead goes on saying that it has ended") {
  const ScratchFile file("end.csv", table_of(1000, 7, ""));
  const auto source = capture::read_ahead(read_at_once(file.path()));
  CHECK(heard(*source).value.size() == 1000);
  CHECK(source->next().value.empty());
}

TEST_CASE("a fault of a table read ahead comes after the samples before it") {
  const ScratchFile file("fault.csv", table_of(60'000, 7, "1.2,dark\n"));
  const auto source = capture::read_ahead(read_at_once(file.path()));
  std::size_t samples = 0;
  const std::string message = refusal([&] {
    for (SampleBlock block = source->next(); !block.value.empty(); block = source->next()) {
      samples += block.value.size();
    }
  });
  CHECK(samples > 50'000);
  CHECK(message == refusal([&] { heard(*read_at_once(file.path())); }));
  CHECK(message.find("line 60002") != std::string::npos);
}

TEST_CASE("a source read ahead may be left before its end") {
  const ScratchFile file("left.csv", table_of(60'000, 7, ""));
  const auto source = capture::read_ahead(read_at_once(file.path()));
  CHECK_FALSE(source->next().value.empty());
}

TEST_CASE("a long table opened as a capture is the table") {
  const std::string text = table_of(300'000, 7, "");
  REQUIRE(text.size() > std::size_t{1} << 22);
  const ScratchFile file("long.csv", text);
  const Heard once = heard(*read_at_once(file.path()));
  const Heard opened = heard(*open_capture(file.path(), {}));
  CHECK(opened.blocks == once.blocks);
  CHECK(opened.value == once.value);
  CHECK(opened.time_s == once.time_s);
}
