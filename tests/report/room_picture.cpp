#include <png.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <string>
#include <vector>

#include "lampbeat/picture.hpp"
#include "report/picture/canvas.hpp"
#include "report/plots/floor_plan.hpp"
#include "report/room_values.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

struct Pixels {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;
  std::uint32_t at(int x, int y) const {
    const std::uint8_t* p =
        &rgb.at(3 * (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                     static_cast<std::size_t>(x)));
    return static_cast<std::uint32_t>(p[0]) << 16 | static_cast<std::uint32_t>(p[1]) << 8 | p[2];
  }
};

/// Read back by libpng's simplified reader.
Pixels read_png(const std::string& bytes) {
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  REQUIRE(png_image_begin_read_from_memory(&image, bytes.data(), bytes.size()));
  image.format = PNG_FORMAT_RGB;
  Pixels pixels;
  pixels.width = static_cast<int>(image.width);
  pixels.height = static_cast<int>(image.height);
  pixels.rgb.resize(PNG_IMAGE_SIZE(image));
  REQUIRE(png_image_finish_read(&image, nullptr, pixels.rgb.data(), 0, nullptr));
  return pixels;
}

constexpr std::uint32_t paper = 0xfffdf8;
constexpr std::uint32_t filled = 0x14474b;
constexpr std::uint32_t band = 0x8b8274;

/// How often the ink changes going down, and going across, through a part of the picture.
struct Seen {
  int down = 0, across = 0;
  std::array<int, 3> inks{};  ///< pixels of paper, filled, band
};

Seen seen_in(const Pixels& p, int left, int top, int right, int bottom) {
  Seen seen;
  for (int y = top; y < bottom; ++y) {
    for (int x = left; x < right; ++x) {
      const std::uint32_t ink = p.at(x, y);
      seen.inks[0] += ink == paper ? 1 : 0;
      seen.inks[1] += ink == filled ? 1 : 0;
      seen.inks[2] += ink == band ? 1 : 0;
    }
  }
  for (int y = top + 1; y < bottom; ++y) seen.down += p.at(left, y) != p.at(left, y - 1) ? 1 : 0;
  for (int x = left + 1; x < right; ++x) seen.across += p.at(x, top) != p.at(x - 1, top) ? 1 : 0;
  return seen;
}

/// A room of 5 × 1 cells, its lamp and places in the upper half of the first.
RoomResult one_of_each() {
  RoomResult r = example::kitchen();
  r.room.size_m = {5.0, 1.0, 2.7};
  r.room.fixtures = {example::fixture("1", "halogen", {0.2, 0.9, 2.5}, 300.0)};
  r.places.clear();
  r.map = example::map_of({"cbvs."}, 1.0);
  return r;
}

}  // namespace

TEST_CASE("the picture of a room shows each cell in the pattern of its verdict") {
  const Pixels p = read_png(room_map_png(one_of_each()));
  // The corner of the floor, found by its pattern: the lowest row of filled pixels left of it.
  int left = p.width;
  int bottom = 0;
  for (int y = 0; y < 400; ++y) {
    for (int x = 0; x < p.width; ++x) {
      if (p.at(x, y) == filled && x < 160) {
        left = std::min(left, x);
        bottom = std::max(bottom, y);
      }
    }
  }
  const int side = 280;  // 1400 pixels for 5 m
  std::array<Seen, 5> seen;
  for (int i = 0; i < 5; ++i) {
    // The lower half of the cell, a whole number of tiles but for its edges.
    seen[static_cast<std::size_t>(i)] = seen_in(p, left + i * side + 10, bottom - side / 2,
                                                left + (i + 1) * side - 10, bottom - 10);
  }
  const auto& [clean, borderline, visible, strong, dark] = seen;
  CHECK((clean.inks[1] > 0 && clean.inks[0] == 0 && clean.inks[2] == 0));
  CHECK((borderline.down == 0 && borderline.across >= 10 && borderline.inks[2] == 0));
  CHECK(borderline.inks[0] == Approx(borderline.inks[1]).epsilon(0.1));
  CHECK((visible.across == 0 && visible.down >= 10 && visible.inks[1] == 0));
  CHECK((strong.across == 0 && strong.inks[1] == 0));
  CHECK(strong.down == Approx(2 * visible.down).margin(2));
  CHECK((dark.inks[1] == 0 && dark.inks[0] > 8 * dark.inks[2] && dark.inks[2] > 0));
}

TEST_CASE("the picture of any room has a size a screen can show, and its marks are in it") {
  for (const Vector3 size_m : {Vector3{6.0, 4.0, 2.7}, Vector3{0.5, 60.0, 3.0},
                               Vector3{90.0, 1.0, 3.0}, Vector3{3.0, 3.0, 3.0}}) {
    RoomResult r = example::kitchen();
    r.room.size_m = size_m;
    for (Fixture& f : r.room.fixtures) f.at_m = {size_m.x / 2.0, size_m.y / 2.0, 2.0};
    for (PlaceResult& place : r.places) place.place.at_m = {size_m.x / 3.0, size_m.y / 2.0, 1.0};
    r.map = example::map_of({"cb", "vs"}, std::max(size_m.x, size_m.y) / 2.0);
    const std::string bytes = room_map_png(r);
    const Pixels p = read_png(bytes);
    CAPTURE(size_m.x, size_m.y);
    CHECK((p.width >= 600 && p.width <= 1600));
    CHECK((p.height >= 200 && p.height <= 1500));
    CHECK(bytes.size() < 300000);
    int lamps = 0;
    for (int y = 0; y < p.height; ++y) {
      for (int x = 0; x < p.width; ++x) lamps += p.at(x, y) == 0xc2600f ? 1 : 0;
    }
    CHECK(lamps > 30);
  }
  CHECK(room_map_png(example::crowded(100)).size() > 1000);
  RoomResult none = example::kitchen();
  none.map.reset();
  CHECK(room_map_png(none).empty());
}

TEST_CASE("the picture of a room keeps its marks' names as a description") {
  RoomResult r = example::kitchen();
  r.places[0].place.name = "Küchentisch";
  const std::string bytes = room_map_png(r);
  CHECK(bytes.find("A: Küchentisch.") != std::string::npos);
  CHECK(bytes.find("3: worktop strip.") != std::string::npos);
}

TEST_CASE("words written on a picture stay in their letters' width") {
  using namespace lampbeat::report::picture;
  CHECK(written_width("Ab", 2) == 24.0);
  CHECK(written_width("Küche", 2) == 0.0);  // a letter that is not at hand
  Canvas canvas(60, 24, 0);
  canvas.write(3.0, 4.0, "Wg", 3, 1);
  int inked = 0;
  for (int y = 0; y < 24; ++y) {
    for (int x = 0; x < 60; ++x) {
      if (canvas.at(x, y) == 0) continue;
      ++inked;
      CHECK((x >= 3 && x < 3 + 36 && y >= 4 && y < 4 + 24));
    }
  }
  CHECK(inked > 100);
  canvas.write(-8.0, 20.0, "W", 3, 1);  // beyond the edges: left out
}
