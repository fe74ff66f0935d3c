#include "support/places.hpp"

namespace places {

const std::string& sources() {
  static const std::string folder = LAMPBEAT_SOURCE_DIR;
  return folder;
}

const std::string& program() {
  static const std::string file = LAMPBEAT_PROGRAM;
  return file;
}

const std::string& scratch() {
  static const std::string folder = LAMPBEAT_TEST_TMP;
  return folder;
}

}  // namespace places
