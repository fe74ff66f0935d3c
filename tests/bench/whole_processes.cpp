#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

// lampbeat beside what a user would otherwise run (peer.py) and beside the least anybody could do
// (bare_limits), as whole processes with their start-up, in turn, several times over. Makes its own
// captures, prints medians and their ratios, judges nothing.
//
//   bench_whole_processes path/to/lampbeat [--runs N] [--long] [--only WORD] [--keep FOLDER]
//
// --long adds the hour at 192 kHz (2.8 GB on the disk) and the table of ten million rows; --only
// takes the cases whose name holds the word; --keep leaves the captures for the next run.

namespace {

namespace fs = std::filesystem;

using Command = std::vector<std::string>;

/// What a process took; of several at once, until the last had ended.
struct Cost {
  double wall_s = 0.0;
  double processor_s = 0.0;
  double resident_mb = 0.0;  ///< of the largest
};

pid_t begin(const Command& command) {
  std::vector<char*> words;
  for (const std::string& word : command) words.push_back(const_cast<char*>(word.c_str()));
  words.push_back(nullptr);
  posix_spawn_file_actions_t quiet;
  posix_spawn_file_actions_init(&quiet);
  for (const int stream : {STDOUT_FILENO, STDERR_FILENO}) {
    posix_spawn_file_actions_addopen(&quiet, stream, "/dev/null", O_WRONLY, 0);
  }
  pid_t process = -1;
  const int failed = posix_spawnp(&process, words[0], &quiet, nullptr, words.data(), environ);
  posix_spawn_file_actions_destroy(&quiet);
  return failed ? -1 : process;
}

double seconds_of(const timeval& time) {
  return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
}

/// Runs these side by side. Exit codes are theirs: 1 may be a verdict, anything above is a failure.
Cost run(const std::vector<Command>& commands) {
  const auto start = std::chrono::steady_clock::now();
  std::vector<pid_t> processes;
  for (const Command& command : commands) processes.push_back(begin(command));
  Cost cost;
  for (std::size_t i = 0; i < processes.size(); ++i) {
    int status = 0;
    rusage used{};
    const bool ended = processes[i] > 0 && wait4(processes[i], &status, 0, &used) > 0;
    if (!ended || !WIFEXITED(status) || WEXITSTATUS(status) > 1) {
      fmt::print(
          stderr, "could not run: {} ...\n",
          fmt::join(commands[i].begin(),
                    commands[i].begin() + std::min<std::ptrdiff_t>(
                                              4, static_cast<std::ptrdiff_t>(commands[i].size())),
                    " "));
      std::exit(1);
    }
    cost.processor_s += seconds_of(used.ru_utime) + seconds_of(used.ru_stime);
    cost.resident_mb = std::max(cost.resident_mb, static_cast<double>(used.ru_maxrss) / 1024.0);
  }
  cost.wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  return cost;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

Cost median(const std::vector<Cost>& costs) {
  const auto of = [&](double Cost::*part) {
    std::vector<double> values;
    for (const Cost& cost : costs) values.push_back(cost.*part);
    return median(std::move(values));
  };
  return {of(&Cost::wall_s), of(&Cost::processor_s), of(&Cost::resident_mb)};
}

/// A way to do one piece of work.
struct Way {
  const char* name;
  std::vector<Command> commands;
};

/// One piece of work, done by lampbeat first of all.
struct Case {
  std::string name;
  std::vector<Way> ways;
};

/// In turn, so that what disturbs one disturbs all; the first round only warms the caches.
void print_costs(const Case& work, int runs) {
  std::vector<std::vector<Cost>> costs(work.ways.size());
  for (int i = -1; i < runs; ++i) {
    for (std::size_t way = 0; way < work.ways.size(); ++way) {
      const Cost cost = run(work.ways[way].commands);
      if (i >= 0) costs[way].push_back(cost);
    }
  }
  fmt::print("{}\n", work.name);
  const Cost own = median(costs[0]);
  for (std::size_t way = 0; way < work.ways.size(); ++way) {
    const Cost cost = median(costs[way]);
    fmt::print("  {:<22} {:>10.1f} ms {:>10.1f} ms {:>8.1f} MB", work.ways[way].name,
               1e3 * cost.wall_s, 1e3 * cost.processor_s, cost.resident_mb);
    if (way > 0) {
      fmt::print(" {:>8.2f} x {:>8.2f} x", cost.wall_s / own.wall_s,
                 cost.processor_s / own.processor_s);
    }
    fmt::print("\n");
  }
  std::fflush(stdout);
}

struct Options {
  std::string lampbeat;
  int runs = 5;
  bool with_long = false;
  std::string only;
  std::optional<fs::path> keep;
};

/// Makes captures and knows the ways to work on them.
class Workshop {
 public:
  Workshop(const Options& options, const fs::path& here, fs::path folder)
      : options_(options),
        peer_((fs::path(LAMPBEAT_BENCH_SOURCES) / "peer.py").string()),
        limits_((here / "bench_bare_limits").string()),
        folder_(std::move(folder)) {
    fs::create_directories(folder_);
    // Debian's own interpreter first: another one in PATH rarely has the packages.
    for (const char* candidate : {"/usr/bin/python3", "python3"}) {
      const std::string asked = fmt::format("{} -c 'import numpy, scipy' 2>/dev/null", candidate);
      if (std::system(asked.c_str()) != 0) continue;
      python_ = candidate;
      break;
    }
    if (python_.empty())
      fmt::print("NumPy and SciPy are not installed: no script to compare with\n");
  }

  const std::string& lampbeat() const { return options_.lampbeat; }

  std::string make(const std::string& name, const std::string& recipe) const {
    const std::string path = (folder_ / name).string();
    if (fs::exists(path)) return path;
    const std::string command =
        fmt::format("'{}' synth '{}' {} 2>/dev/null", lampbeat(), path, recipe);
    if (std::system(command.c_str()) == 0) return path;
    fmt::print(stderr, "could not run: {}\n", command);
    std::exit(1);
  }

  void add_script(std::vector<Way>& ways, const std::vector<std::string>& captures) const {
    if (python_.empty()) return;
    std::vector<Command> halves(captures.size() > 1 ? 2 : 1, Command{python_, peer_});
    for (std::size_t i = 0; i < captures.size(); ++i) {
      halves[i % halves.size()].push_back(captures[i]);
    }
    ways.push_back({halves.size() > 1 ? "script, two at once" : "script", halves});
  }

  Case one_capture(const std::string& name, const std::string& capture) const {
    const bool table = capture.ends_with(".csv");
    std::vector<Way> ways = {{"measure", {{lampbeat(), "measure", capture, "--json"}}}};
    add_script(ways, {capture});
    ways.push_back(
        {table ? "from_chars" : "libsndfile", {{limits_, table ? "parse" : "decode", capture}}});
    return {name, ways};
  }

 private:
  Options options_;
  std::string peer_;
  std::string limits_;
  fs::path folder_;
  std::string python_;
};

constexpr const char* one_rhythm = "--mains 50 --rectified 30 --noise 0.1";
constexpr const char* two_rhythms = "--mains 50 --rectified 30 --pwm 481.3:0.6 --noise 0.1";

void run_captures(const Workshop& shop, const Options& options) {
  struct Capture {
    const char* name;
    const char* file;
    const char* recipe;
    const char* sampling;
    bool is_long;
  };
  constexpr Capture captures[] = {
      {"10 s at 192 kHz, one rhythm", "one-10.wav", one_rhythm, "--rate 192000 --seconds 10",
       false},
      {"10 s at 192 kHz, two rhythms", "two-10.wav", two_rhythms, "--rate 192000 --seconds 10",
       false},
      {"10 min at 48 kHz, one rhythm", "one-600.wav", one_rhythm, "--rate 48000 --seconds 600",
       false},
      {"10 min at 48 kHz, two rhythms", "two-600.wav", two_rhythms, "--rate 48000 --seconds 600",
       false},
      {"60 min at 192 kHz, one rhythm", "one-3600.wav", one_rhythm, "--rate 192000 --seconds 3600",
       true},
      {"table of 10^6 rows", "rows-6.csv", one_rhythm, "--rate 50000 --seconds 20", false},
      {"table of 10^7 rows", "rows-7.csv", one_rhythm, "--rate 50000 --seconds 200", true},
  };
  for (const Capture& capture : captures) {
    if (capture.is_long && !options.with_long) continue;
    if (std::string_view(capture.name).find(options.only) == std::string_view::npos) continue;
    const std::string path =
        shop.make(capture.file, fmt::format("{} {}", capture.recipe, capture.sampling));
    print_costs(shop.one_capture(capture.name, path), options.runs);
  }
}

/// A shelf of lights that differ: mains ripple of many depths, dimmed ones, and lights of both.
void run_shelf(const Workshop& shop, const Options& options) {
  constexpr int fixtures = 500;
  const std::string name = fmt::format("shelf of {} captures", fixtures);
  if (name.find(options.only) == std::string::npos) return;
  std::vector<std::string> captures;
  for (int i = 0; i < fixtures; ++i) {
    const int depth = 2 + i % 60;
    const std::string ripple = fmt::format("--mains {} --rectified {}", i % 2 ? 60 : 50, depth);
    const std::string dimmer = fmt::format("--pwm {}:0.{}", 400 + 37 * i % 4000, 2 + i % 7);
    const char* const frame = "--noise 0.2 --rate 50000 --seconds 2";
    const std::string light = i % 5 < 3    ? ripple
                              : i % 5 == 3 ? dimmer
                                           : fmt::format("{} {}", ripple, dimmer);
    captures.push_back(shop.make(fmt::format("shelf-{:03}.wav", i),
                                 fmt::format("{} {} --seed {}", light, frame, i + 1)));
  }
  const auto with = [&](Command command) {
    command.insert(command.end(), captures.begin(), captures.end());
    return command;
  };
  const std::string& lampbeat = shop.lampbeat();
  std::vector<Way> ways = {
      {"rate", {with({lampbeat, "rate", "--json"})}},
      {"rate, one thread", {with({lampbeat, "rate", "--json", "--jobs", "1"})}},
      {"measure", {with({lampbeat, "measure", "--json"})}}};
  shop.add_script(ways, captures);
  print_costs({name, ways}, options.runs);
}

std::string joined(const std::vector<std::string>& words) {
  return fmt::format("{}", fmt::join(words, ","));
}

/// A hundred frame rates and two hundred exposures.
Command large_plan(const std::string& lampbeat) {
  std::vector<std::string> rates;
  for (int i = 0; i < 100; ++i) rates.push_back(fmt::format("{}", 20 + i));
  std::vector<std::string> exposures;
  for (int i = 0; i < 200; ++i) exposures.push_back(fmt::format("1/{}", 25 + 5 * i));
  return {lampbeat,      "shutters",    "--typical",       "led-rippled", "--fps",
          joined(rates), "--available", joined(exposures), "--json"};
}

void run_plans(const Workshop& shop, const Options& options) {
  const std::string& lampbeat = shop.lampbeat();
  const Command small = {lampbeat, "measure",
                         shop.make("small.wav", "--mains 50 --rectified 30 --seconds 1")};
  std::vector<Case> cases = {
      {"start",
       {{"--help", {{lampbeat, "--help"}}}, {"measure 1 s", {small}}, {"true", {{"true"}}}}},
      {"one prediction",
       {{"ripple",
         {{lampbeat, "predict", "--typical", "led-rippled", "--fps", "25", "--shutter", "1/60"}}},
        {"ripple and dimmer",
         {{lampbeat, "predict", "--typical", "led-rippled", "--typical", "led-pwm", "--fps", "25",
           "--shutter", "1/60"}}}}},
      {"plan of five frame rates",
       {{"ripple", {{lampbeat, "shutters", "--typical", "led-rippled", "--fps", "24,25,30,50,60"}}},
        {"ripple and dimmer",
         {{lampbeat, "shutters", "--typical", "led-rippled", "--typical", "led-pwm", "--fps",
           "24,25,30,50,60"}}}}},
      {"plan of 100 frame rates, 200 exposures", {{"ripple", {large_plan(lampbeat)}}}},
  };
  const char* const clip_name = "clip of 4 s, 1080p at 60 frames a second";
  if (std::string_view(clip_name).find(options.only) != std::string_view::npos) {
    const std::string clip = shop.make("clip.y4m",
                                       "--mains 50 --rectified 30 --fps 60 --shutter 1/250 --rows "
                                       "1080 --columns 1920 --seconds 4");
    cases.push_back({clip_name, {{"footage", {{lampbeat, "footage", clip}}}}});
  }
  for (const Case& work : cases) {
    if (work.name.find(options.only) == std::string::npos) continue;
    print_costs(work, options.runs);
  }
}

std::optional<Options> options_of(int argc, char** argv) {
  Options options;
  if (argc < 2) return std::nullopt;
  options.lampbeat = argv[1];
  for (int i = 2; i < argc; ++i) {
    const std::string_view word = argv[i];
    const bool has_value = i + 1 < argc;
    if (word == "--long") {
      options.with_long = true;
    } else if (word == "--runs" && has_value) {
      options.runs = std::max(1, std::atoi(argv[++i]));
    } else if (word == "--only" && has_value) {
      options.only = argv[++i];
    } else if (word == "--keep" && has_value) {
      options.keep = argv[++i];
    } else {
      return std::nullopt;
    }
  }
  return options;
}

}  // namespace

int main(int argc, char** argv) {
  const std::optional<Options> options = options_of(argc, argv);
  if (!options) {
    fmt::print(stderr,
               "usage: {} path/to/lampbeat [--runs N] [--long] [--only WORD] [--keep FOLDER]\n",
               argv[0]);
    return 2;
  }
  const fs::path folder = options->keep.value_or(fs::temp_directory_path() /
                                                 fmt::format("lampbeat-bench-{}", getpid()));
  const Workshop shop(*options, fs::path(argv[0]).parent_path(), folder);
  fmt::print("medians of {} runs; ratios are to the first way of each case\n", options->runs);
  fmt::print("  {:<22} {:>13} {:>13} {:>11} {:>10} {:>10}\n", "", "wall", "processors", "resident",
             "wall", "processors");
  run_captures(shop, *options);
  run_shelf(shop, *options);
  run_plans(shop, *options);
  if (!options->keep) fs::remove_all(folder);
  return 0;
}
