#pragma once

#include "desk/listening.h"
#include "support/fake_practice.h"

#include <vector>

namespace bellhand::test {

/// An ear that hears what the test puts into `sessions.back()`, and remembers what was asked of it.
struct FakeEar {
    struct Shared {
        std::vector<desk::InputChoice> choices;
        std::vector<practice::PracticeOptions> options;
        std::vector<std::shared_ptr<FakeState>> sessions;
        std::vector<audio::Device> devices;
        std::string refuses; ///< not empty: no session can begin, with this sentence
    };
    std::shared_ptr<Shared> shared = std::make_shared<Shared>();

    [[nodiscard]] desk::Ear ear() const {
        desk::Ear ear;
        ear.begin = [shared = shared](const desk::InputChoice& choice,
                                      const practice::PracticeOptions& options)
            -> Result<std::unique_ptr<practice::Practice>> {
            shared->choices.push_back(choice);
            shared->options.push_back(options);
            if (!shared->refuses.empty()) {
                return failure(shared->refuses);
            }
            auto state = std::make_shared<FakeState>();
            state->source.state = audio::SourceState::running;
            state->source.name = desk::name_of(choice);
            state->tuning = options.tuning;
            shared->sessions.push_back(state);
            return std::make_unique<FakePractice>(state);
        };
        ear.devices = [shared = shared]() -> Result<std::vector<audio::Device>> {
            return shared->devices;
        };
        return ear;
    }
};

inline audio::Device input_device(int index, const char* name, int inputs, bool monitor = false) {
    audio::Device device;
    device.index = index;
    device.host_api = "ALSA";
    device.name = name;
    device.inputs = inputs;
    device.monitor = monitor;
    return device;
}

} // namespace bellhand::test
