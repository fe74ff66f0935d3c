#include "files/json_faults.hpp"

#include <string>
#include <vector>

#include "support/catch.hpp"

// What is refused of a JSON text before anybody takes it in, and where it stands.

using lampbeat::files::json::fault_of;

TEST_CASE("a sound document has no fault, whatever repeats in different objects of it") {
  CHECK_FALSE(
      fault_of(R"({"a": 1, "b": {"a": [1e308, -4, true, null, "a"]}, "c": [{}, {"a": 2}]})"));
}

TEST_CASE("a number larger than a double is a fault, with its place") {
  for (const std::string& number :
       std::vector<std::string>{"1e999", "-1e999", "1" + std::string(400, '0')}) {
    const auto fault = fault_of("{\"a\": [1,\n" + number + "]}");
    REQUIRE(fault);
    REQUIRE(fault->byte);
    CHECK(*fault->byte >= 10);
    CHECK(fault->what.find("larger number than can be read") != std::string::npos);
  }
}

TEST_CASE("a key written twice in one object is a fault, with its name and where") {
  CHECK(fault_of(R"({"a": 1, "b": 2, "a": 1})")->what == "\"a\" is written twice");
  const auto deep = fault_of(R"({"list": [{"a": 1}, [], {"in": {"b": [1], "c": 2, "b": {}}}]})");
  REQUIRE(deep);
  CHECK(deep->what == R"("b" is written twice, in "in" of entry 3 of "list")");
}

TEST_CASE("what is no JSON, or deeper than any file, is a fault") {
  CHECK(fault_of("{\"a\": }")->what == "not valid JSON");
  CHECK(fault_of("")->what == "not valid JSON");
  CHECK(fault_of("{} {}"));
  const std::string deep(2'000'000, '[');
  CHECK(fault_of(deep)->what.find("nested deeper") != std::string::npos);
}
