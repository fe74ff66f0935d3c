#pragma once

#include <set>
#include <span>
#include <string>
#include <string_view>

#include "lampbeat/room_file.hpp"
#include "records/typed_values.hpp"

namespace lampbeat::records {

/// Reads one room file, naming file, fixture or place, and key in everything it refuses.
class RoomReader : private TypedValues {
 public:
  /// Throws InputError for a file that cannot be read or is no room.
  explicit RoomReader(const std::string& path);

  /// Throws InputError for what is missing or outside its range.
  RoomFile room();

 private:
  void note_keys(const Json& object, const std::string& where,
                 std::span<const std::string_view> known);
  Vector3 place_in_room(const Json& object, const std::string& where) const;
  const Json& list(const char* key, std::size_t most) const;
  /// The fixture's or place's own name; no two have the same.
  std::string name_of(const Json& entry, const char* what, std::size_t index,
                      std::set<std::string>& taken) const;
  void read_size();
  void read_fixture(const Json& entry, std::size_t index, std::set<std::string>& taken);
  void read_source(const Json& entry, const std::string& where);
  void read_shape(const Json& entry, const std::string& where, Fixture& fixture) const;
  void read_place(const Json& entry, std::size_t index, std::set<std::string>& taken);

  Json root_;
  RoomFile file_;
};

}  // namespace lampbeat::records
