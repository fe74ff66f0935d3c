#pragma once

#include <string>

namespace places {

// Where things lie, known to one compiled file alone: a test compiled in one clone is the same in
// another.
const std::string& sources();  ///< the folder of the clone
const std::string& program();  ///< lampbeat, as built
const std::string& scratch();  ///< a folder of the build, for a test's own files

}  // namespace places
