#include "files/whole_file.hpp"

#include <sys/stat.h>

#include <fstream>

#include "lampbeat/error.hpp"
#include "support/catch.hpp"
#include "support/run_program.hpp"

using lampbeat::files::front_of_file;
using lampbeat::files::whole_file;
using lampbeat::test::ScratchFolder;

namespace {

void write(const std::string& path, const std::string& bytes) {
  std::ofstream(path, std::ios::binary) << bytes;
}

}  // namespace

TEST_CASE("a file is read whole, without its byte order mark, up to its limit") {
  const ScratchFolder folder("whole-file");
  const std::string path = folder.file("shelf.csv");
  write(path,
        "\xEF\xBB\xBF"
        "a,b\n");
  CHECK(whole_file(path, 2'000'000, "a shelf file") == "a,b\n");
  write(path, std::string(2'000'000, 'x'));
  CHECK(whole_file(path, 2'000'000, "a shelf file").size() == 2'000'000);
  write(path, std::string(2'000'001, 'x'));
  CHECK_THROWS_WITH(whole_file(path, 2'000'000, "a shelf file"),
                    path + ": larger than 2 MB, so it is not a shelf file");
  CHECK_THROWS_AS(whole_file(folder.file("none"), 1, "a shelf file"), lampbeat::InputError);
}

TEST_CASE("looking at the front of a file takes nothing from a pipe") {
  const ScratchFolder folder("front-of-file");
  const std::string path = folder.file("light.json");
  write(path, "\xEF\xBB\xBF{\"schema\": 1}");
  CHECK(front_of_file(path, 6) == "{\"s");
  CHECK(front_of_file(path, 4096) == "{\"schema\": 1}");
  CHECK(front_of_file(folder.file("none"), 6).empty());
  const std::string pipe = folder.file("pipe");
  REQUIRE(mkfifo(pipe.c_str(), 0600) == 0);
  CHECK(front_of_file(pipe, 6).empty());  // and does not wait for a writer
}
