// Every file in tests/bad_captures is named by its defect. The messages must name the file, the
// place and the remedy, and stay short.

#include <algorithm>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/read_all.hpp"

namespace {

using lampbeat::test::complaint;

struct BadCapture {
  std::string file;
  std::string kind;  ///< of error
  std::vector<std::string> words;
};

const std::vector<BadCapture> bad_captures = {
    {"empty.csv", "InputError", {"empty", "Record it again"}},
    {"only_blank_lines.csv", "InputError", {"blank lines"}},
    {"heading_only.csv", "InputError", {"no row of numbers", "line 1", "time_s,light"}},
    {"one_row.csv", "InputError", {"only one row", "line 2", "record a second or more"}},
    {"words_only.txt", "InputError", {"no row of numbers", "line 1", "columns of plain"}},
    {"time_goes_back.csv",
     "InputError",
     {"line 42", "time goes back from 0.0195 s to 0 s", "restarted", "--for 0.0195"}},
    {"restart_banner.csv", "InputError", {"line 42", "column 1", "logger ready", "--for 0.0195"}},
    {"escape_sequence_in_cell.csv", "InputError", {"line 32", "column 2", "\\x1B[31mhot"}},
    {"nan_cell.csv", "InputError", {"line 27", "column 2", "\"nan\" is not a finite number"}},
    {"infinite_cell.csv", "InputError", {"line 27", "\"1e999\" is not a finite number"}},
    {"empty_cell.csv", "InputError", {"line 27", "column 2", "empty", "delete the row"}},
    {"unit_in_cell.csv", "InputError", {"line 27", "column 2", "\"512 mV\" is not a number"}},
    {"rows_run_together.csv", "InputError", {"line 27", "3 cells", "ran together"}},
    {"cut_mid_row.csv", "InputError", {"line 52", "breaks off", "copy it again"}},
    {"power_lost_nul_bytes.csv", "InputError", {"line 52", "byte 563", "lost power", "--for"}},
    {"binary_junk.csv", "InputError", {"byte 12 is 0x0E", "begins 38 B4 E6", "export"}},
    {"utf16.csv", "InputError", {"UTF-16", "UTF-8"}},
    {"clock_times.csv", "InputError", {"line 2", "times of day", "seconds", "--rate"}},
    {"times_of_day.txt", "InputError", {"line 1", "times of day", "seconds"}},
    {"decimal_comma_in_comma_table.csv", "InputError", {"line 2", "semicolons"}},
    {"thousands_or_decimals.tsv", "InputError", {"line 2", "thousands", "decimal points"}},
    {"times_never_change.csv", "InputError", {"same time", "column 1", "--rate"}},
    {"times_only.csv", "InputError", {"column of times", "--value"}},
    {"no_rate.csv", "UsageError", {"\"light\"", "add --rate HZ"}},
    {"row_numbers_no_times.csv", "UsageError", {"counts rows", "add --rate HZ", "--time 1"}},
    {"saved_light.json", "InputError", {"JSON", "predict --light"}},
    {"web_page.csv", "InputError", {"web page", "export CSV"}},
    {"picture.csv", "InputError", {"PNG picture"}},
    {"clip.y4m", "InputError", {"clip", "lampbeat footage"}},
    {"workbook.csv", "InputError", {"workbook", "CSV"}},
    {"compressed.csv", "InputError", {"gzip", "unpack"}},
    {"riff_not_wave.avi", "InputError", {"not WAVE", "export"}},
    {"lossy_sound.ogg", "InputError", {"lossy", "WAV or FLAC"}},
    {"cut_off.wav", "InputError", {"cut off", "1600 bytes", "1000", "sample 500", "--for 0.061"}},
    {"cut_off.aiff", "InputError", {"cut off", "1600 bytes", "sample 423", "copy it again"}},
    {"cut_off.w64", "InputError", {"cut off", "1600 bytes", "sample 398", "copy it again"}},
    {"cut_off.flac", "InputError", {"cut off", "sample 4096", "copy it again"}},
    {"damaged.flac", "InputError", {"damaged", "sample 0", "copy it again"}},
    {"no_samples.wav", "InputError", {"not one sample", "record"}},
    {"one_sample.wav", "InputError", {"only one sample", "record"}},
    {"header_only_half.wav", "InputError", {"header", "copy it again"}},
    {"nan_sample.wav", "InputError", {"sample 346", "channel 1", "NaN", "--for"}},
    {"infinite_sample.wav", "InputError", {"sample 346", "infinite", "--for"}},
};

const std::filesystem::path folder =
    std::filesystem::path(places::sources()) / "tests" / "bad_captures";

}  // namespace

TEST_CASE("A bad capture is refused in a line or two that name file, place and remedy") {
  for (const BadCapture& bad : bad_captures) {
    const std::string path = (folder / bad.file).string();
    const std::string message = complaint(path);
    INFO(message);
    CHECK(message.rfind(bad.kind + ": " + path, 0) == 0);
    for (const std::string& word : bad.words) {
      INFO("looking for: " << word);
      CHECK(message.find(word) != std::string::npos);
    }
    CHECK(std::count(message.begin(), message.end(), '\n') <= 1);
    CHECK(std::none_of(message.begin(), message.end(),
                       [](char c) { return (c >= 0 && c < 0x20 && c != '\n') || c == 0x7F; }));
    CHECK(message.back() != '\n');
  }
}

TEST_CASE("Every file among the bad captures is tried") {
  std::set<std::string> tried;
  for (const BadCapture& bad : bad_captures) tried.insert(bad.file);
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    INFO(entry.path());
    CHECK(tried.count(entry.path().filename().string()) == 1);
  }
}

TEST_CASE("Missing files, folders and absurd options are refused") {
  using lampbeat::CaptureOptions;
  CHECK(complaint((folder / "nowhere.csv").string()).find("no such file") != std::string::npos);
  CHECK(complaint(folder.string()).find("this is a folder") != std::string::npos);
  const std::string good = (folder / "no_rate.csv").string();
  CaptureOptions options;
  options.rate_hz = 0.0;
  CHECK(complaint(good, options).find("UsageError: --rate") == 0);
  options.rate_hz = 2000.0;
  CHECK(complaint(good, options) == "read without complaint");
  options.from_s = -1.0;
  CHECK(complaint(good, options).find("UsageError: --from") == 0);
  options.from_s = 0.0;
  options.for_s = 0.0;
  CHECK(complaint(good, options).find("UsageError: --for") == 0);
  options.for_s.reset();
  options.channel = 2;
  CHECK(complaint(good, options).find("columns, not channels") != std::string::npos);
}

TEST_CASE("A fault beyond the wanted part does not matter") {
  lampbeat::CaptureOptions options;
  options.for_s = 0.01;
  for (const char* file : {"time_goes_back.csv", "restart_banner.csv", "nan_cell.csv",
                           "empty_cell.csv", "cut_mid_row.csv", "power_lost_nul_bytes.csv",
                           "cut_off.wav", "cut_off.flac", "nan_sample.wav"}) {
    INFO(file);
    CHECK(complaint((folder / file).string(), options) == "read without complaint");
  }
}

TEST_CASE("The remedy a message names works") {
  lampbeat::CaptureOptions options;
  options.for_s = 0.0195;
  CHECK(complaint((folder / "time_goes_back.csv").string(), options) == "read without complaint");
  CHECK(complaint((folder / "restart_banner.csv").string(), options) == "read without complaint");
  options.for_s = 0.061;
  CHECK(complaint((folder / "cut_off.wav").string(), options) == "read without complaint");
}
