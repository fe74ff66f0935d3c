#pragma once

#include <string>
#include <vector>

namespace lampbeat::cli {

/// A file named on the command line, and what for: "--save", "the shelf's row 3".
struct NamedFile {
  std::string option;
  std::string path;  ///< empty, and "-" for a standard stream: never compared
};

/// Refuses, before anything is written, an output that would replace an input or another
/// output: the same file by any name, relative path, symbolic or hard link, or a descriptor such
/// as /dev/fd/3 or a file redirected to standard input. Devices and pipes are written to and not
/// replaced; they pass. Throws UsageError.
void refuse_output_over_input(const std::vector<NamedFile>& outputs,
                              const std::vector<NamedFile>& inputs);

/// Whether one of these outputs goes to standard output, which then holds nothing else: no text
/// follows a picture. Throws UsageError where two do.
bool take_standard_output(const std::vector<NamedFile>& outputs);

}  // namespace lampbeat::cli
