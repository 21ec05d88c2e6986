#pragma once

#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <memory>
#include <mutex>
#include <thread>
#include <utility>

namespace durograde {

#ifdef DUROGRADE_ONE_THREAD
/// The same as below without a thread of its own: the fuzzers' builds, so that a seed leads to the
/// same inputs each time.
template <typename Item>
class Relay {
  public:
    explicit Relay(std::function<bool(Item&)> produce, std::size_t = 0)
        : produce_(std::move(produce)) {}

    Item* next() {
        ended_ = ended_ || !produce_(item_);
        return ended_ ? nullptr : &item_;
    }

  private:
    std::function<bool(Item&)> produce_;
    Item item_;
    bool ended_ = false;
};
#else
/// Two steps of a pipeline on two threads: `produce` fills items on a thread of its own while the
/// caller works on the one before. Items are reused, so their memory is allocated once. Order is
/// kept, so the outcome does not depend on timing.
template <typename Item>
class Relay {
  public:
    /// `produce` fills an item and returns true, or returns false at the end. What it throws comes
    /// out of `next`, after the items before it.
    explicit Relay(std::function<bool(Item&)> produce, std::size_t depth = 2)
        : produce_(std::move(produce)) {
        for (std::size_t i = 0; i < depth + 1; ++i) free_.push_back(std::make_unique<Item>());
        thread_ = std::thread([this] { run(); });
    }
    Relay(const Relay&) = delete;
    Relay& operator=(const Relay&) = delete;
    ~Relay() {
        {
            const std::lock_guard lock(mutex_);
            stopping_ = true;
        }
        changed_.notify_all();
        thread_.join();
    }

    /// The next item, or null at the end. It is the caller's until the next call.
    Item* next() {
        std::unique_lock lock(mutex_);
        if (current_ != nullptr) {
            free_.push_back(std::move(current_));
            changed_.notify_all();
        }
        changed_.wait(lock, [this] { return !full_.empty() || ended_; });
        if (full_.empty()) {
            if (failure_ != nullptr) std::rethrow_exception(std::exchange(failure_, nullptr));
            return nullptr;
        }
        current_ = std::move(full_.front());
        full_.pop_front();
        return current_.get();
    }

  private:
    void run() {
        for (;;) {
            std::unique_ptr<Item> item;
            {
                std::unique_lock lock(mutex_);
                changed_.wait(lock, [this] { return !free_.empty() || stopping_; });
                if (stopping_) return;
                item = std::move(free_.front());
                free_.pop_front();
            }
            bool filled = false;
            std::exception_ptr failure;
            try {
                filled = produce_(*item);
            } catch (...) {
                failure = std::current_exception();
            }
            const std::lock_guard lock(mutex_);
            if (filled) full_.push_back(std::move(item));
            ended_ = !filled;
            failure_ = failure;
            changed_.notify_all();
            if (ended_) return;
        }
    }

    std::function<bool(Item&)> produce_;
    std::mutex mutex_;
    std::condition_variable changed_;
    std::deque<std::unique_ptr<Item> > free_, full_;
    std::unique_ptr<Item> current_;
    std::exception_ptr failure_;
    bool ended_ = false, stopping_ = false;
    std::thread thread_;
};
#endif

}  // namespace durograde
