#pragma once

#include <filesystem>
#include <fstream>
#include <string>

#include "support/places.hpp"
#include "support/run_program.hpp"
#include "support/scratch.hpp"

// Where recipes are tried out: a folder with a copy of the example captures, and lampbeat as an
// installed program.

namespace recipes {

inline bool installed(const std::string& program) {
  return lampbeat::test::run_command("command -v " + program).exit_code == 0;
}

class RecipeFolder {
 public:
  explicit RecipeFolder(const std::string& name) : folder_(name) {
    namespace fs = std::filesystem;
    fs::create_directory(folder_.path() + "/bin");
    fs::create_symlink(places::program(), folder_.path() + "/bin/lampbeat");
  }

  void copy_captures() const {
    std::filesystem::copy(places::sources() + "/captures", folder_.path() + "/captures",
                          std::filesystem::copy_options::recursive);
  }

  std::string path() const { return folder_.path(); }

  /// As a shell runs these lines there, up to the first that fails.
  lampbeat::test::RunResult run(const std::string& script) const {
    std::ofstream(folder_.file("script.sh")) << script;
    return lampbeat::test::run_command("cd '" + path() + "' && PATH='" + path() +
                                       "/bin':$PATH NO_COLOR=1 sh -e script.sh");
  }

 private:
  lampbeat::test::ScratchFolder folder_;
};

}  // namespace recipes
