#include "footage/stretches/pending.hpp"

#include <cstring>

namespace lampbeat::footage::stretches {

namespace {

// Differing frames to judge by, and the share of cells that must differ in them.
constexpr double enough_differing = 8.0;
constexpr double nearly_everywhere = 0.5;

}  // namespace

void Pending::add(const std::vector<float>& now, double rounding) {
  const bool same =
      !last_.empty() && std::memcmp(now.data(), last_.data(), now.size() * sizeof(float)) == 0;
  if (!same && !last_.empty()) {
    std::size_t other = 0;
    for (std::size_t i = 0; i < now.size(); ++i) other += now[i] != last_[i] ? 1U : 0U;
    changed_ += static_cast<double>(other) / static_cast<double>(now.size());
    differing_ += 1.0;
  }
  repeated_.push_back(same);
  cells_.rounding = rounding;
  cells_.add_frame(now);
  last_ = now;
}

void Pending::add_gap() {
  repeated_.push_back(false);
  cells_.add_gap();
}

bool Pending::judged() const {
  return differing_ >= enough_differing && changed_ >= nearly_everywhere * differing_;
}

Pending Pending::take(std::size_t frames) {
  Pending first(cells_.take(frames));
  const auto marks = repeated_.begin() + static_cast<std::ptrdiff_t>(frames);
  first.repeated_.assign(repeated_.begin(), marks);
  first.changed_ = changed_;
  first.differing_ = differing_;
  repeated_.erase(repeated_.begin(), marks);
  return first;
}

}  // namespace lampbeat::footage::stretches
