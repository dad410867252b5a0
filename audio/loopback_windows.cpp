#include "audio/loopback_windows.h"

#include "audio/device_choice.h"
#include "core/platform.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <string>
#include <thread>
#include <utility>

#define WIN32_LEAN_AND_MEAN
#include <windows.h>
// after it, the first of them with the names of properties
#include <initguid.h>
//
#include <audioclient.h>
#include <functiondiscoverykeys_devpkey.h>
#include <ksmedia.h>
#include <mmdeviceapi.h>

namespace bellhand::audio {

namespace {

using Clock = std::chrono::steady_clock;

constexpr REFERENCE_TIME kBuffer_100ns = 2000000; // 0.2 s
constexpr auto kLookPeriod = std::chrono::milliseconds(5);
// An output that plays nothing gives no packets at all: silence stands for them from here on.
constexpr double kGap_s = 0.05;
constexpr std::size_t kSilence_frames = 512;

struct Release {
    void operator()(IUnknown* object) const noexcept { object->Release(); }
};
template <typename Object>
using Owned = std::unique_ptr<Object, Release>;

struct FreeMemory {
    void operator()(void* memory) const noexcept { ::CoTaskMemFree(memory); }
};

/// The right to call COM on this thread.
class ComTurn {
public:
    ComTurn() noexcept : good_(SUCCEEDED(::CoInitializeEx(nullptr, COINIT_MULTITHREADED))) {}
    ~ComTurn() {
        if (good_) {
            ::CoUninitialize();
        }
    }
    ComTurn(const ComTurn&) = delete;
    ComTurn& operator=(const ComTurn&) = delete;

private:
    const bool good_;
};

Owned<IMMDeviceEnumerator> all_devices() {
    void* found = nullptr;
    ::CoCreateInstance(
        __uuidof(MMDeviceEnumerator), nullptr, CLSCTX_ALL, __uuidof(IMMDeviceEnumerator), &found);
    return Owned<IMMDeviceEnumerator>(static_cast<IMMDeviceEnumerator*>(found));
}

Owned<IAudioClient> client_of(IMMDevice& device) {
    void* found = nullptr;
    device.Activate(__uuidof(IAudioClient), CLSCTX_ALL, nullptr, &found);
    return Owned<IAudioClient>(static_cast<IAudioClient*>(found));
}

/// Rate and channels in which an output mixes; zero when it does not tell.
StreamFormat mix_format(IAudioClient& client) {
    WAVEFORMATEX* told = nullptr;
    if (FAILED(client.GetMixFormat(&told))) {
        return {};
    }
    const std::unique_ptr<WAVEFORMATEX, FreeMemory> owned(told);
    return {static_cast<double>(told->nSamplesPerSec), told->nChannels};
}

WAVEFORMATEXTENSIBLE floats(const StreamFormat& format) {
    WAVEFORMATEXTENSIBLE wanted{};
    wanted.Format.wFormatTag = WAVE_FORMAT_EXTENSIBLE;
    wanted.Format.nChannels = static_cast<WORD>(format.channels);
    wanted.Format.nSamplesPerSec = static_cast<DWORD>(format.sample_rate_hz);
    wanted.Format.wBitsPerSample = 32;
    wanted.Format.nBlockAlign = static_cast<WORD>(wanted.Format.nChannels * sizeof(float));
    wanted.Format.nAvgBytesPerSec = wanted.Format.nSamplesPerSec * wanted.Format.nBlockAlign;
    wanted.Format.cbSize = sizeof wanted - sizeof wanted.Format;
    wanted.Samples.wValidBitsPerSample = 32;
    wanted.SubFormat = KSDATAFORMAT_SUBTYPE_IEEE_FLOAT;
    return wanted;
}

std::string utf8(const wchar_t* wide) {
    return std::filesystem::path(wide).string();
}

std::string name_of(IMMDevice& device) {
    IPropertyStore* opened = nullptr;
    if (FAILED(device.OpenPropertyStore(STGM_READ, &opened))) {
        return "an output";
    }
    const Owned<IPropertyStore> store(opened);
    PROPVARIANT value{};
    std::string name = "an output";
    if (SUCCEEDED(store->GetValue(PKEY_Device_FriendlyName, &value)) && value.vt == VT_LPWSTR) {
        name = utf8(value.pwszVal);
    }
    ::PropVariantClear(&value);
    return name;
}

class Loopback final : public DeviceDriver {
public:
    explicit Loopback(Device device) : device_(std::move(device)) {}
    ~Loopback() override { close(); }
    Loopback(const Loopback&) = delete;
    Loopback& operator=(const Loopback&) = delete;

    Result<OpenedDevice> open(const PickDevice& pick, int channel, StreamEnd& end) override;
    bool alive() override { return !lost_; }
    void close() noexcept override;

private:
    [[nodiscard]] HRESULT begin();
    void listen(StreamEnd& end) noexcept;
    /// One look; false when the stream is over. `given` counts frames.
    [[nodiscard]] bool take(StreamEnd& end, std::uint64_t& given) noexcept;

    const Device device_;
    StreamFormat format_;
    const ComTurn com_;
    Owned<IAudioClient> client_;
    Owned<IAudioCaptureClient> capture_;
    std::vector<float> silence_;
    std::thread thread_;
    std::atomic<bool> ending_{false};
    std::atomic<bool> lost_{false};
};

HRESULT Loopback::begin() {
    const auto devices = all_devices();
    IMMDevice* found = nullptr;
    if (devices == nullptr ||
        FAILED(devices->GetDevice(platform::path_of(device_.id).c_str(), &found))) {
        return AUDCLNT_E_DEVICE_INVALIDATED;
    }
    const Owned<IMMDevice> device(found);
    client_ = client_of(*device);
    if (client_ == nullptr) {
        return AUDCLNT_E_DEVICE_INVALIDATED;
    }
    format_ = mix_format(*client_);
    const WAVEFORMATEXTENSIBLE wanted = floats(format_);
    HRESULT result =
        client_->Initialize(AUDCLNT_SHAREMODE_SHARED,
                            AUDCLNT_STREAMFLAGS_LOOPBACK | AUDCLNT_STREAMFLAGS_AUTOCONVERTPCM,
                            kBuffer_100ns,
                            0,
                            &wanted.Format,
                            nullptr);
    if (FAILED(result)) {
        return result;
    }
    void* service = nullptr;
    result = client_->GetService(__uuidof(IAudioCaptureClient), &service);
    capture_.reset(static_cast<IAudioCaptureClient*>(service));
    return result;
}

Result<OpenedDevice> Loopback::open(const PickDevice& /*pick*/, int channel, StreamEnd& end) {
    if (const Result<void> there = check_channel(device_, channel); !there) {
        return tl::unexpected<Error>(there.error());
    }
    if (FAILED(begin())) {
        return failure("'" + device_.name + "' cannot be listened to.");
    }
    silence_.assign(kSilence_frames * static_cast<std::size_t>(format_.channels), 0.0F);
    end.prepare(format_);
    if (FAILED(client_->Start())) {
        return failure("'" + device_.name + "' cannot be started.");
    }
    thread_ = std::thread([this, &end] { listen(end); });
    OpenedDevice opened;
    opened.device = device_;
    opened.format = format_;
    opened.reported_latency_s = std::chrono::duration<double>(kLookPeriod).count();
    return opened;
}

bool Loopback::take(StreamEnd& end, std::uint64_t& given) noexcept {
    for (;;) {
        BYTE* bytes = nullptr;
        UINT32 frames = 0;
        DWORD flags = 0;
        const HRESULT got = capture_->GetBuffer(&bytes, &frames, &flags, nullptr, nullptr);
        if (FAILED(got)) {
            return false;
        }
        if (got == AUDCLNT_S_BUFFER_EMPTY || frames == 0) {
            return true;
        }
        const bool trouble = (flags & AUDCLNT_BUFFERFLAGS_DATA_DISCONTINUITY) != 0 && given > 0;
        const bool silent = (flags & AUDCLNT_BUFFERFLAGS_SILENT) != 0;
        bool wanted = true;
        for (UINT32 done = 0; wanted && done < frames;) {
            const auto count = std::min<std::size_t>(frames - done, kSilence_frames);
            const float* from =
                silent ? silence_.data()
                       : reinterpret_cast<const float*>(bytes) +
                             std::size_t{done} * static_cast<std::size_t>(format_.channels);
            wanted = end.exchange(from, nullptr, count, trouble && done == 0);
            done += static_cast<UINT32>(count);
        }
        given += frames;
        capture_->ReleaseBuffer(frames);
        if (!wanted) {
            return false;
        }
    }
}

void Loopback::listen(StreamEnd& end) noexcept {
    const ComTurn com;
    ::SetThreadPriority(::GetCurrentThread(), THREAD_PRIORITY_TIME_CRITICAL);
    const auto begun = Clock::now();
    std::uint64_t given = 0;
    bool wanted = true;
    while (wanted && !ending_) {
        std::this_thread::sleep_for(kLookPeriod);
        wanted = take(end, given);
        const double passed_s = std::chrono::duration<double>(Clock::now() - begun).count();
        const auto due =
            static_cast<std::uint64_t>(std::max(0.0, passed_s - kGap_s) * format_.sample_rate_hz);
        while (wanted && given + kSilence_frames < due) {
            wanted = end.exchange(silence_.data(), nullptr, kSilence_frames, false);
            given += kSilence_frames;
        }
    }
    lost_ = !ending_;
}

void Loopback::close() noexcept {
    ending_ = true;
    if (thread_.joinable()) {
        thread_.join();
    }
    if (client_ != nullptr) {
        client_->Stop();
    }
    capture_.reset();
    client_.reset();
}

} // namespace

std::vector<Device> loopback_inputs() {
    const ComTurn com;
    std::vector<Device> inputs;
    const auto devices = all_devices();
    IMMDeviceCollection* listed = nullptr;
    if (devices == nullptr ||
        FAILED(devices->EnumAudioEndpoints(eRender, DEVICE_STATE_ACTIVE, &listed))) {
        return inputs;
    }
    const Owned<IMMDeviceCollection> outputs(listed);
    UINT count = 0;
    outputs->GetCount(&count);
    for (UINT i = 0; i < count; ++i) {
        IMMDevice* one = nullptr;
        LPWSTR id = nullptr;
        if (FAILED(outputs->Item(i, &one))) {
            continue;
        }
        const Owned<IMMDevice> output(one);
        const auto client = client_of(*output);
        if (client == nullptr || FAILED(output->GetId(&id))) {
            continue;
        }
        const std::unique_ptr<wchar_t, FreeMemory> owned(id);
        const StreamFormat format = mix_format(*client);
        Device device;
        device.host_api = kLoopbackHostApi;
        device.id = utf8(id);
        device.name = "What is played on " + name_of(*output);
        device.inputs = format.channels;
        device.default_rate_hz = format.sample_rate_hz;
        device.monitor = true;
        inputs.push_back(std::move(device));
    }
    return inputs;
}

std::unique_ptr<DeviceDriver> make_loopback(const Device& device) {
    return std::make_unique<Loopback>(device);
}

} // namespace bellhand::audio
