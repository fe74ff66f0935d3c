#include "capture/read_ahead.hpp"

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <exception>
#include <mutex>
#include <thread>
#include <utility>
#include <vector>

namespace lampbeat::capture {
namespace {

constexpr std::size_t most_blocks_ahead = 2;

/// A block with its samples, and what the source had to say once it was read.
struct ReadBlock {
  std::vector<double> value;
  std::vector<double> time_s;
  double time_bound_s = 0.0;
  Findings findings;
  SampleClock clock;
  std::exception_ptr failed;
};

class ReadAheadSource final : public CaptureSource {
 public:
  explicit ReadAheadSource(std::unique_ptr<CaptureSource> source)
      : source_(std::move(source)), format_(source_->format()) {
    current_.findings = source_->findings();
    reader_ = std::thread([this] { read_all(); });
  }
  ~ReadAheadSource() override {
    {
      const std::lock_guard lock(in_use_);
      abandoned_ = true;
    }
    changed_.notify_all();
    reader_.join();
  }
  ReadAheadSource(const ReadAheadSource&) = delete;
  ReadAheadSource& operator=(const ReadAheadSource&) = delete;

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return current_.findings; }
  SampleClock clock() const override { return current_.clock; }

  SampleBlock next() override {
    if (!ended_) take();
    return {current_.value, current_.time_s, current_.time_bound_s};
  }

 private:
  void take() {
    std::unique_lock lock(in_use_);
    changed_.wait(lock, [&] { return !ahead_.empty(); });
    if (ahead_.front().failed) std::rethrow_exception(ahead_.front().failed);
    current_ = std::move(ahead_.front());
    ahead_.pop_front();
    ended_ = current_.value.empty();
    lock.unlock();
    changed_.notify_all();
  }

  ReadBlock read_one() {
    ReadBlock read;
    try {
      const SampleBlock block = source_->next();
      read.value.assign(block.value.begin(), block.value.end());
      read.time_s.assign(block.time_s.begin(), block.time_s.end());
      read.time_bound_s = block.time_bound_s;
      read.findings = source_->findings();
      read.clock = source_->clock();
    } catch (...) {
      read.failed = std::current_exception();
    }
    return read;
  }

  void read_all() {
    for (bool more = true; more;) {
      ReadBlock read = read_one();
      more = !read.failed && !read.value.empty();
      std::unique_lock lock(in_use_);
      changed_.wait(lock, [&] { return abandoned_ || ahead_.size() < most_blocks_ahead; });
      if (abandoned_) return;
      ahead_.push_back(std::move(read));
      lock.unlock();
      changed_.notify_all();
    }
  }

  std::unique_ptr<CaptureSource> source_;  ///< the reader's alone once it has begun
  CaptureFormat format_;
  ReadBlock current_;
  bool ended_ = false;

  std::mutex in_use_;
  std::condition_variable changed_;
  std::deque<ReadBlock> ahead_;
  bool abandoned_ = false;
  std::thread reader_;
};

}  // namespace

std::unique_ptr<CaptureSource> read_ahead(std::unique_ptr<CaptureSource> source) {
  return std::make_unique<ReadAheadSource>(std::move(source));
}

}  // namespace lampbeat::capture
