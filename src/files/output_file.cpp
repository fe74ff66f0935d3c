#include "lampbeat/output_file.hpp"

#include "files/growing_file.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {

void write_atomically(const std::string& path, const std::string& bytes) {
  if (path.empty()) throw OutputError("an output needs a file name");
  files::GrowingFile file(path);
  file.write(bytes);
  file.close();
}

}  // namespace lampbeat
