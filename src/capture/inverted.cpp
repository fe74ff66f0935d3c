#include "capture/inverted.hpp"

#include <utility>
#include <vector>

namespace lampbeat::capture {
namespace {

std::optional<double> negated(const std::optional<double>& level) {
  return level ? std::optional(-*level) : std::nullopt;
}

class InvertedSource final : public CaptureSource {
 public:
  explicit InvertedSource(std::unique_ptr<CaptureSource> source)
      : source_(std::move(source)), format_(source_->format()) {
    format_.inverted = true;
    const std::optional<double> low = negated(format_.rail_high);
    format_.rail_high = negated(format_.rail_low);
    format_.rail_low = low;
  }

  const CaptureFormat& format() const override { return format_; }
  SampleBlock next() override {
    SampleBlock block = source_->next();
    value_.assign(block.value.begin(), block.value.end());
    for (double& x : value_) x = -x;
    block.value = value_;
    return block;
  }
  const Findings& findings() const override { return source_->findings(); }
  SampleClock clock() const override { return source_->clock(); }

 private:
  std::unique_ptr<CaptureSource> source_;
  CaptureFormat format_;
  std::vector<double> value_;
};

}  // namespace

CaptureOptions heard_inverted(CaptureOptions options) {
  if (!options.live || !options.live->hear) return options;
  options.live->hear = [hear = std::move(options.live->hear),
                        value = std::vector<double>()](const SampleBlock& block) mutable {
    value.assign(block.value.begin(), block.value.end());
    for (double& x : value) x = -x;
    SampleBlock turned = block;
    turned.value = value;
    hear(turned);
  };
  return options;
}

std::unique_ptr<CaptureSource> inverted(std::unique_ptr<CaptureSource> source) {
  return std::make_unique<InvertedSource>(std::move(source));
}

}  // namespace lampbeat::capture
