#include "footage/clips/formats.hpp"

namespace lampbeat::footage::clips {

namespace {

class Still final : public ClipSource {
 public:
  Still(ClipFormat format, std::vector<std::uint16_t> luma)
      : format_(std::move(format)), luma_(std::move(luma)) {}

  const ClipFormat& format() const override { return format_; }

  const std::vector<std::uint16_t>* next() override {
    if (given_) return nullptr;
    given_ = true;
    return &luma_;
  }

 private:
  ClipFormat format_;
  std::vector<std::uint16_t> luma_;
  bool given_ = false;
};

}  // namespace

std::unique_ptr<ClipSource> still(ClipFormat format, std::vector<std::uint16_t> luma) {
  format.still = true;
  format.full_range = true;
  return std::make_unique<Still>(std::move(format), std::move(luma));
}

}  // namespace lampbeat::footage::clips
