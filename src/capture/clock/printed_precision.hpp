#pragma once

#include <cstddef>
#include <string_view>

namespace lampbeat::capture::clock {

/// How finely a column of numbers is printed. Some programs print a fixed count of decimals, others
/// a fixed count of significant digits, so that 9.999 is followed by 10.00: what the last digit is
/// worth then depends on the number.
class PrintedPrecision {
 public:
  /// The next number as written.
  void see(std::string_view number, char decimal);
  /// Worth of the last digit printed of a number as large as `value`; 0 before any was seen.
  double at(double value) const;

 private:
  void study(std::string_view number, char decimal);

  std::size_t seen_length_ = 0;
  std::size_t seen_mark_ = 0;
  bool any_ = false;
  int decimals_ = 0;  ///< most seen
  int digits_ = 0;    ///< most significant digits seen
  // The last answer, which holds until the number's decade or the habits change.
  mutable double decade_from_ = 0.0;
  mutable double decade_to_ = 0.0;
  mutable double worth_ = 0.0;
};

}  // namespace lampbeat::capture::clock
