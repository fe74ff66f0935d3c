#include <fmt/format.h>

#include "cli/contract.hpp"

// Spoiled input: the right exit code, a line or two that name the file, the place and the remedy,
// and nothing on standard output.

using namespace lampbeat::test;

namespace {

struct Spoiled {
  const char* name;
  std::string bytes;
  const char* place;   ///< what the message must name
  const char* remedy;  ///< and what to do
};

std::string rows_with(int odd_row, const std::string& odd) {
  std::string text = "time,light\n";
  for (int i = 0; i < 100; ++i) {
    text += i == odd_row ? odd : fmt::format("{:.3f},{:.3f}\n", i * 1e-3, 1.0 + 0.1 * (i % 7));
  }
  return text;
}

std::string noise_bytes() {
  std::string bytes;
  unsigned state = 12345;
  for (int i = 0; i < 4000; ++i) {
    state = state * 1103515245U + 12345U;
    bytes += static_cast<char>(state >> 16);
  }
  return bytes;
}

void require_refusal(const std::string& arguments, int exit_code, const std::string& place) {
  const RunResult run = run_lampbeat(arguments);
  INFO(arguments << "\n" << run.err);
  CHECK(run.exit_code == exit_code);
  CHECK(run.out.empty());
  CHECK(line_count(run.err) >= 1);
  CHECK(line_count(run.err) <= 3);
  CHECK(mentions(run.err, place));
}

}  // namespace

TEST_CASE("every command refuses spoiled captures with exit code 3, the place and the remedy") {
  const ScratchFolder folder("spoiled");
  const std::string wav = wav_of_floats({std::vector<double>(5000, 0.5)});
  for (const Spoiled& s :
       {Spoiled{"empty.wav", "", "0 bytes", "again"},
        Spoiled{"noise.wav", noise_bytes(), "byte", "export"},
        Spoiled{"header.wav", wav.substr(0, 30), "header", "copy it again"},
        Spoiled{"cut.wav", wav.substr(0, 44), "cut off", "copy it again"},
        Spoiled{"one.csv", "time,light\n0,1\n", "line 2", "record"},
        Spoiled{"words.csv", "dear reader\nthis is a letter\n", "line 1", "numbers"},
        Spoiled{"nan.csv", rows_with(57, "0.057,nan\n"), "line 59", "delete"},
        Spoiled{"inf.csv", rows_with(57, "0.057,inf\n"), "line 59", "delete"},
        Spoiled{"word.csv", rows_with(57, "0.057,hello\n"), "line 59", "delete"},
        Spoiled{"huge.csv", rows_with(57, "0.057,1e400\n"), "line 59", "delete"},
        Spoiled{"back.csv", rows_with(57, "0.020,1\n"), "line 59", "--for"},
        Spoiled{"short-row.csv", rows_with(57, "5\n"), "line 59", "fill it in"}}) {
    const std::string path = folder.file(s.name);
    write_file(path, s.bytes);
    for (const std::string& command : {"measure --json " + path, "measure " + path,
                                       "predict --fps 25 --shutter 1/50 --json --light " + path,
                                       "shutters --fps 25 --json --light " + path}) {
      require_refusal(command, 3, s.place);
      CHECK(mentions(run_lampbeat(command).err, s.remedy));
      CHECK(mentions(run_lampbeat(command).err, s.name));
    }
  }
}

TEST_CASE("folders, missing files and foreign JSON are input of no use") {
  const ScratchFolder folder("foreign");
  write_file(folder.file("half.json"), "{\"schema\":");
  write_file(folder.file("other.json"), "{\"a\": 1}");
  require_refusal("measure " + folder.path(), 3, "folder");
  require_refusal("measure --json " + folder.file("none.wav"), 3, "none.wav");
  require_refusal("measure --json - </dev/null", 3, "standard input");
  for (const char* name : {"half.json", "other.json", "none.json"}) {
    require_refusal("predict --fps 25 --shutter 1/50 --json --light " + folder.file(name), 3, name);
  }
  require_refusal("footage --json " + folder.file("other.json"), 3, "other.json");
  const RunResult rated = run_lampbeat("rate --json " + folder.file("none"));
  CHECK(rated.exit_code == 3);
  CHECK(mentions(rated.err, "none"));
  CHECK(json_lines(rated.out).size() <= 1);
}

TEST_CASE("wrong usage ends with 2, says what is wrong and where to read on") {
  const std::string light = "--typical led-rippled --mains 60 ";
  for (const std::string& command :
       std::vector<std::string>{"measure",
                                "measure ''",
                                "measure x.wav --rate -5",
                                "measure x.wav --channel 0",
                                "measure x.wav --limit nan",
                                "measure x.wav --unheard-of",
                                "measure x.wav --mains abc",
                                "measure x.wav --for 0",
                                "predict --fps 25 --shutter 1/50",
                                "predict " + light + "--shutter 1/50",
                                "predict " + light + "--fps 25",
                                "predict " + light + "--fps 0 --shutter 1/50",
                                "predict " + light + "--fps 25/0 --shutter 1/50",
                                "predict " + light + "--fps 25 --shutter 50",
                                "predict " + light + "--fps 25 --shutter 1/0",
                                "predict " + light + "--fps 25 --shutter 1/10",
                                "predict " + light + "--fps 25 --shutter 400deg",
                                "predict " + light + "--fps 25 --shutter 1/50 --readout 16",
                                "predict " + light + "--fps 25 --shutter 1/50 --rows 0",
                                "predict --typical nothing --fps 25 --shutter 1/50",
                                "predict --typical led-pwm:0 --fps 25 --shutter 1/50",
                                "shutters " + light,
                                "shutters " + light + "--fps 25 --available 1/50,foo",
                                "shutters " + light + "--fps 25 --shutter 1/50",
                                "synth",
                                "synth x.wav",
                                "synth x.foo --mains 50",
                                "synth x.wav --pwm 100:0",
                                "synth x.wav --mains 50 --bits 0",
                                "synth x.wav --component 100:200"}) {
    const RunResult run = run_lampbeat(command);
    INFO(command << "\n" << run.err);
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    CHECK(line_count(run.err) == 2);
    CHECK(mentions(run.err, "--help'"));
  }
}

TEST_CASE("a mistyped or missing command is answered with the commands there are") {
  const RunResult none = run_lampbeat("");
  CHECK(none.exit_code == 2);
  CHECK(mentions(none.err, "measure, predict"));
  CHECK(mentions(none.err, "see 'lampbeat --help'"));
  const RunResult mistyped = run_lampbeat("mesure x.wav");
  CHECK(mistyped.exit_code == 2);
  CHECK(mentions(mistyped.err, "did you mean 'measure'"));
  CHECK(mentions(mistyped.err, "see 'lampbeat --help'"));
}

TEST_CASE("a command without what it works on asks for it and says what would do") {
  for (const auto& [command, question] : std::vector<std::pair<std::string, std::string>>{
           {"measure", "which capture? name a sound file or table, or - for a pipe"},
           {"rate --json", "which fixtures? name a folder, a shelf file or captures"},
           {"footage --plain-wall", "which clip? name a video or a photograph, or -"},
           {"synth", "which file to make? name it .wav, .flac, .csv or .y4m"}}) {
    const RunResult run = run_lampbeat(command);
    INFO(command << "\n" << run.err);
    CHECK(run.exit_code == 2);
    CHECK(mentions(run.err, question));
    CHECK(mentions(run.err, " --help'"));
    CHECK(line_count(run.err) == 2);
  }
}

TEST_CASE("a mistyped option is answered with the one that was meant, whatever follows it") {
  for (const auto& [command, meant] : std::vector<std::pair<std::string, std::string>>{
           {"predict --typical led-pwm --fps 25 --shuter 180deg", "--shutter"},
           {"predict --typical led-pwm --fps 25 --shuter=180deg", "--shutter"},
           {"predict --typicl led-pwm --fps 25 --shutter 180deg", "--typical"},
           {"measure x.wav --drak 3", "--dark"},
           {"measure x.wav --jsn", "--json"},
           {"shutters --typical led-pwm --fsp=24,25", "--fps"}}) {
    const RunResult run = run_lampbeat(command);
    INFO(command << "\n" << run.err);
    CHECK(run.exit_code == 2);
    CHECK(mentions(run.err, "did you mean '" + meant + "'?"));
    CHECK(line_count(run.err) == 2);
  }
}

TEST_CASE("numbers with their units and decimal commas are what they say") {
  const std::string light = "--json --typical led-rippled --mains 60 ";
  const std::string said = run_lampbeat("predict " + light + "--fps 24 --shutter 16.7ms").out;
  REQUIRE_FALSE(said.empty());
  for (const char* same :
       {"predict --json --typical led-rippled --mains 60Hz --fps 24p --shutter 16,7ms",
        "predict --json --typical led-rippled --mains '60 hz' --fps 24fps --shutter '16.7 ms'",
        "predict --json --typical led-rippled --mains 60,0 --fps 24 --shutter 0,0167s"}) {
    INFO(same);
    CHECK(run_lampbeat(same).out == said);
  }
  CHECK(run_lampbeat("predict " + light + "--fps 24 --shutter 1/50 --limit 5%").exit_code ==
        run_lampbeat("predict " + light + "--fps 24 --shutter 1/50 --limit 5").exit_code);
  const RunResult unclear = run_lampbeat("measure x.csv --rate 48,000");
  CHECK(unclear.exit_code == 2);
  CHECK(mentions(unclear.err, "write decimals with a point"));
  const RunResult list = run_lampbeat("shutters " + light + "--fps 29,97");
  CHECK(list.exit_code == 2);
  CHECK(mentions(list.err, "29.97"));
}
