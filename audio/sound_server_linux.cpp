#include "audio/sound_server.h"

#include <pulse/pulseaudio.h>

namespace bellhand::audio {

namespace {

using Clock = std::chrono::steady_clock;

struct FreeLoop {
    void operator()(pa_mainloop* loop) const noexcept { pa_mainloop_free(loop); }
};
struct FreeContext {
    void operator()(pa_context* context) const noexcept {
        pa_context_disconnect(context);
        pa_context_unref(context);
    }
};
struct FreeOperation {
    void operator()(pa_operation* operation) const noexcept { pa_operation_unref(operation); }
};

/// One turn of the loop; false when it broke or the time is over.
bool turn(pa_mainloop* loop, Clock::time_point deadline) {
    const auto left =
        std::chrono::duration_cast<std::chrono::microseconds>(deadline - Clock::now());
    return left.count() > 0 && pa_mainloop_prepare(loop, static_cast<int>(left.count())) >= 0 &&
           pa_mainloop_poll(loop) >= 0 && pa_mainloop_dispatch(loop) >= 0;
}

void add_input(pa_context* /*context*/, const pa_source_info* info, int end, void* list) {
    if (end != 0 || info == nullptr) {
        return;
    }
    ServerInput input;
    input.number = info->index;
    input.id = info->name;
    input.name = info->description != nullptr ? info->description : info->name;
    input.channels = info->sample_spec.channels;
    input.rate_hz = info->sample_spec.rate;
    input.monitor = info->monitor_of_sink != PA_INVALID_INDEX;
    static_cast<std::vector<ServerInput>*>(list)->push_back(input);
}

} // namespace

struct SoundServer::Link {
    std::unique_ptr<pa_mainloop, FreeLoop> loop;
    std::unique_ptr<pa_context, FreeContext> context; // goes before its loop

    [[nodiscard]] bool connect(Clock::time_point deadline) {
        loop.reset(pa_mainloop_new());
        if (loop == nullptr) {
            return false;
        }
        context.reset(pa_context_new(pa_mainloop_get_api(loop.get()), "Bellhand"));
        if (context == nullptr ||
            pa_context_connect(context.get(), nullptr, PA_CONTEXT_NOAUTOSPAWN, nullptr) < 0) {
            return false;
        }
        while (pa_context_get_state(context.get()) != PA_CONTEXT_READY) {
            if (!PA_CONTEXT_IS_GOOD(pa_context_get_state(context.get())) ||
                !turn(loop.get(), deadline)) {
                return false;
            }
        }
        return true;
    }

    [[nodiscard]] bool list(std::vector<ServerInput>& inputs, Clock::time_point deadline) const {
        const std::unique_ptr<pa_operation, FreeOperation> asked(
            pa_context_get_source_info_list(context.get(), &add_input, &inputs));
        while (asked != nullptr && pa_operation_get_state(asked.get()) == PA_OPERATION_RUNNING) {
            if (!turn(loop.get(), deadline)) {
                pa_operation_cancel(asked.get()); // it points to `inputs`
                return false;
            }
        }
        return asked != nullptr && pa_operation_get_state(asked.get()) == PA_OPERATION_DONE;
    }
};

SoundServer::SoundServer() = default;
SoundServer::~SoundServer() = default;

std::optional<std::vector<ServerInput>> SoundServer::inputs(std::chrono::milliseconds limit) {
    const auto deadline = Clock::now() + limit;
    if (link_ == nullptr) {
        link_ = std::make_unique<Link>();
        if (!link_->connect(deadline)) {
            link_.reset();
            return std::nullopt;
        }
    }
    std::vector<ServerInput> inputs;
    if (!link_->list(inputs, deadline)) {
        link_.reset();
        return std::nullopt;
    }
    return inputs;
}

} // namespace bellhand::audio
