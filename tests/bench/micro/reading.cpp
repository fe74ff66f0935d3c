#include <benchmark/benchmark.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>

#include "lampbeat/capture.hpp"
#include "words/number_reader.hpp"

// What reading a table costs, from its bytes to samples with their times; and one number of it.

namespace {

using namespace lampbeat;

/// A table of time and value, as loggers write it; gone with the program.
class Table {
 public:
  Table()
      : path_((std::filesystem::temp_directory_path() /
               fmt::format("lampbeat-bench-{}.csv", getpid()))
                  .string()) {
    std::ofstream file(path_);
    file << "time_s,light\n";
    for (int i = 0; i < rows; ++i) {
      file << fmt::format("{:.6f},{:.6f}\n", i * 2e-5, 0.25 + 0.1 * std::sin(0.0126 * i));
    }
    bytes_ = static_cast<std::int64_t>(file.tellp());
  }
  ~Table() { std::filesystem::remove(path_); }
  Table(const Table&) = delete;
  Table& operator=(const Table&) = delete;

  const std::string& path() const { return path_; }
  std::int64_t bytes() const { return bytes_; }

 private:
  static constexpr int rows = 300'000;
  std::string path_;
  std::int64_t bytes_ = 0;
};

void table_read(benchmark::State& state) {
  const Table table;
  while (state.KeepRunning()) {
    const auto source = open_capture(table.path(), {});
    double sum = 0.0;
    for (SampleBlock block = source->next(); !block.value.empty(); block = source->next()) {
      for (const double x : block.value) sum += x;
    }
    benchmark::DoNotOptimize(sum);
  }
  state.SetBytesProcessed(state.iterations() * table.bytes());
}
BENCHMARK(table_read)->Unit(benchmark::kMillisecond)->UseRealTime();

void plain_decimal(benchmark::State& state) {
  const std::string text = "0.161829477";
  double value = 0.0;
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(
        words::read_plain_decimal(text.data(), text.data() + text.size(), '.', value));
    benchmark::DoNotOptimize(value);
  }
}
BENCHMARK(plain_decimal);

void number_with_exponent(benchmark::State& state) {
  const std::string text = "2.0000000000000e-05";
  double value = 0.0;
  while (state.KeepRunning()) {
    benchmark::DoNotOptimize(
        words::read_number(text.data(), text.data() + text.size(), '.', value));
    benchmark::DoNotOptimize(value);
  }
}
BENCHMARK(number_with_exponent);

}  // namespace
