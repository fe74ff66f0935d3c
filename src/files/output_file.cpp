#include <cerrno>
#include <cstdio>
#include <cstring>
#include <string>

#include "files/draft.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/output_file.hpp"

namespace lampbeat {

namespace {

void write_to_stream(const std::string& path, std::FILE* stream, const std::string& bytes) {
  if (!stream) files::refuse_output(path, std::strerror(errno));
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), stream) == bytes.size();
  const bool flushed = std::fflush(stream) == 0;
  const int reason = errno;
  if (stream != stdout) std::fclose(stream);
  if (!written || !flushed) files::refuse_output(path, std::strerror(reason));
}

}  // namespace

void write_atomically(const std::string& path, const std::string& bytes) {
  if (path.empty()) throw OutputError("an output needs a file name");
  if (path == "-") return write_to_stream("standard output", stdout, bytes);
  if (files::is_special(path)) {
    return write_to_stream(path, std::fopen(path.c_str(), "wb"), bytes);
  }
  files::Draft draft(path);
  draft.write(bytes);
  draft.keep();
}

}  // namespace lampbeat
