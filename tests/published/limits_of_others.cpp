#include <algorithm>

#include "lampbeat/standards.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

// Limits: Regulation (EU) 2021/341 Annex IV amending Regulation (EU) 2019/2020 (read there); NEMA
// 77-2017 and IEEE Std 1789-2015 (from memory); California JA8 (quoted in a public discussion);
// UEFA Stadium Lighting Guide 2023 (read there); FIFA (from a lighting supplier's table).

namespace {

const StandardVerdict& line(const std::vector<StandardVerdict>& table, const std::string& standard,
                            const std::string& quantity) {
  const auto found = std::find_if(table.begin(), table.end(), [&](const StandardVerdict& v) {
    return v.standard.find(standard) != std::string::npos &&
           v.quantity.find(quantity) != std::string::npos;
  });
  REQUIRE(found != table.end());
  return *found;
}

bool from_memory(const StandardVerdict& v) {
  return v.note.find("limit from memory") != std::string::npos;
}

}  // namespace

TEST_CASE("every limit stands in the table with its value, and is met or not") {
  const auto table = standard_verdicts({20.0, 120.0, 0.74, 0.5, 29.9});
  CHECK(line(table, "2019/2020", "SVM").limit == 0.4);
  CHECK(line(table, "2019/2020", "SVM").met == false);
  CHECK(line(table, "2019/2020", "PstLM").limit == 1.0);
  CHECK(line(table, "2019/2020", "PstLM").met == true);
  CHECK(line(table, "NEMA", "SVM").limit == 1.6);
  CHECK(line(table, "NEMA", "SVM").met == true);
  CHECK(line(table, "NEMA", "Pst").limit == 1.0);
  CHECK(line(table, "JA8", "below 200 Hz").limit == 30.0);
  CHECK(line(table, "JA8", "below 200 Hz").met == true);
  CHECK(line(table, "IEEE", "low risk").limit == Approx(9.6));
  CHECK(line(table, "IEEE", "low risk").met == false);
  CHECK(line(table, "IEEE", "no observable").limit == Approx(4.0));
  CHECK(line(table, "UEFA", "flicker factor").limit == 3.0);
  CHECK(line(table, "UEFA", "flicker factor").met == false);
  CHECK(line(table, "FIFA", "flicker factor").limit == 1.0);
  for (const StandardVerdict& v : table) {
    CHECK(v.value.has_value());
    CHECK_FALSE(v.note.empty());
    CHECK(v.note.find("not measured") == std::string::npos);
  }
}

TEST_CASE("what is from memory says so, what was read does not") {
  const auto table = standard_verdicts({20.0, 120.0, 0.74, 0.5, 29.9});
  CHECK(from_memory(line(table, "NEMA", "SVM")));
  CHECK(from_memory(line(table, "NEMA", "Pst")));
  CHECK(from_memory(line(table, "IEEE", "low risk")));
  CHECK_FALSE(from_memory(line(table, "2019/2020", "SVM")));
  CHECK_FALSE(from_memory(line(table, "UEFA", "flicker factor")));
}

TEST_CASE("limits that say below are not met at the limit, those that say at most are") {
  const auto table = standard_verdicts({3.0, 100.0, 0.4, 1.0, 30.0});
  CHECK(line(table, "2019/2020", "SVM").met == true);
  CHECK(line(table, "2019/2020", "PstLM").met == true);
  CHECK(line(table, "JA8", "below").met == false);
  CHECK(line(table, "UEFA", "flicker").met == false);
}

TEST_CASE("a figure that could not be measured is neither met nor missed, with the reason") {
  const auto table = standard_verdicts({});
  for (const StandardVerdict& v : table) {
    CHECK_FALSE(v.value);
    CHECK_FALSE(v.met);
    CHECK(v.note.find("not measured") == 0);
  }
  CHECK(line(table, "2019/2020", "PstLM").note.find("180 s") != std::string::npos);
}

TEST_CASE("at a frequency without restriction IEEE 1789 is met whatever the modulation") {
  const auto table = standard_verdicts({100.3, 5000.0, {}, {}, {}});
  CHECK(line(table, "IEEE", "low risk").met == true);
  CHECK(line(table, "IEEE", "no observable").met == true);
  CHECK(line(table, "IEEE", "low risk").note.find("not restricted") != std::string::npos);
}
