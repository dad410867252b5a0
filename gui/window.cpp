#include "gui/window.h"

#include "core/platform.h"
#include "desk/desk.h"
#include "desk/store/own_files.h"
#include "gui/fonts.h"
#include "gui/frame_pacer.h"
#include "gui/frame_print.h"
#include "gui/views/views.h"
#include "gui/window_settings.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include <GLFW/glfw3.h>
#include <imgui.h>

#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>

namespace bellhand::gui {

namespace {

constexpr double kListen_s = 0.010; // between looks for the first sound after silence
constexpr double kResizeSettles_s = 0.15;

/// What the callbacks of the window need.
struct Events {
    desk::Desk* desk = nullptr;
    double last_s = 0.0;
    bool repeating = false; ///< the key now reported is held down
    bool uncovered = false; ///< the system lost what was drawn
};

Events& events_of(GLFWwindow* window) {
    Events& events = *static_cast<Events*>(glfwGetWindowUserPointer(window));
    events.last_s = glfwGetTime();
    return events;
}

desk::Key named_key(int key) {
    switch (key) {
    case GLFW_KEY_ENTER:
    case GLFW_KEY_KP_ENTER:
        return desk::Key::enter;
    case GLFW_KEY_ESCAPE:
        return desk::Key::escape;
    case GLFW_KEY_TAB:
        return desk::Key::tab;
    case GLFW_KEY_DELETE:
        return desk::Key::del;
    case GLFW_KEY_BACKSPACE:
        return desk::Key::backspace;
    case GLFW_KEY_UP:
        return desk::Key::up;
    case GLFW_KEY_DOWN:
        return desk::Key::down;
    case GLFW_KEY_LEFT:
        return desk::Key::left;
    case GLFW_KEY_RIGHT:
        return desk::Key::right;
    case GLFW_KEY_PAGE_UP:
        return desk::Key::page_up;
    case GLFW_KEY_PAGE_DOWN:
        return desk::Key::page_down;
    case GLFW_KEY_HOME:
        return desk::Key::home;
    case GLFW_KEY_END:
        return desk::Key::end;
    case GLFW_KEY_F1:
        return desk::Key::f1;
    case GLFW_KEY_F11:
        return desk::Key::f11;
    default:
        return desk::Key::none;
    }
}

void on_key(GLFWwindow* window, int key, int scancode, int action, int modifiers) {
    Events& events = events_of(window);
    if (action == GLFW_RELEASE) {
        return;
    }
    events.repeating = action == GLFW_REPEAT;
    desk::Press press;
    press.repeated = events.repeating;
    press.key = named_key(key);
    press.control =
        (modifiers & (platform::command_key() ? GLFW_MOD_SUPER : GLFW_MOD_CONTROL)) != 0;
    press.shift = (modifiers & GLFW_MOD_SHIFT) != 0;
    if (press.control && press.key == desk::Key::none) {
        // No character event comes with Control: the layout's name of the key stands for it.
        if (key == GLFW_KEY_KP_ADD || key == GLFW_KEY_KP_SUBTRACT) {
            press.character = key == GLFW_KEY_KP_ADD ? U'+' : U'-';
        } else if (const char* name = glfwGetKeyName(key, scancode);
                   name != nullptr && name[1] == '\0') {
            press.character = static_cast<char32_t>(static_cast<unsigned char>(name[0]));
        }
    }
    if (press.key != desk::Key::none || press.control) {
        events.desk->press(press);
    }
}

void on_character(GLFWwindow* window, unsigned int character) {
    Events& events = events_of(window);
    desk::Press press;
    press.character = character;
    press.repeated = events.repeating; // the key event comes first
    events.desk->press(press);
}

void on_drop(GLFWwindow* window, int count, const char** paths) {
    Events& events = events_of(window);
    if (count > 0) {
        events.desk->take_file(platform::path_of(paths[0]));
    }
}

void on_pointer(GLFWwindow* window, double /*x*/, double /*y*/) {
    events_of(window);
}

void on_button(GLFWwindow* window, int /*button*/, int /*action*/, int /*modifiers*/) {
    events_of(window);
}

void on_refresh(GLFWwindow* window) {
    events_of(window).uncovered = true;
}

/// How much larger than usual things should be in units of the window's size. Where a unit is several pixels already, the
/// monitor's scale is in it.
float scale_of_window_units(GLFWwindow* window, int width) {
    float scale = 1.0F;
    glfwGetWindowContentScale(window, &scale, nullptr);
    int pixels = 0;
    glfwGetFramebufferSize(window, &pixels, nullptr);
    return width > 0 && pixels > 0 ? scale * static_cast<float>(width) / static_cast<float>(pixels)
                                   : scale;
}

/// The window with all that must be undone in order when it closes.
class Window {
public:
    [[nodiscard]] bool open() {
        if (glfwInit() != GLFW_TRUE) {
            return false;
        }
        initialised_ = true;
        glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
        glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
        glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
        glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE); // some systems give no 3.3 without
        glfwWindowHint(GLFW_SCALE_TO_MONITOR, GLFW_TRUE);
        // Nothing here has depth: buffers that are not there need not be cleared and stored.
        glfwWindowHint(GLFW_DEPTH_BITS, 0);
        glfwWindowHint(GLFW_STENCIL_BITS, 0);
        constexpr int kWidth = 1280;
        constexpr int kHeight = 800;
        handle_ = glfwCreateWindow(kWidth, kHeight, "Bellhand", nullptr, nullptr);
        if (handle_ == nullptr) {
            return false;
        }
        constexpr int kLeastWidth = 480;
        constexpr int kLeastHeight = 320;
        glfwSetWindowSizeLimits(handle_, kLeastWidth, kLeastHeight, GLFW_DONT_CARE, GLFW_DONT_CARE);
        glfwMakeContextCurrent(handle_);
        glfwSwapInterval(1);
        ImGui::CreateContext();
        ImGui::GetIO().IniFilename = nullptr;
        return true;
    }

    /// After the own callbacks are set: the library hands events on to them.
    void connect() {
        ImGui_ImplGlfw_InitForOpenGL(handle_, true);
        ImGui_ImplOpenGL3_Init("#version 330 core");
        connected_ = true;
    }

    ~Window() {
        if (connected_) {
            ImGui_ImplOpenGL3_Shutdown();
            ImGui_ImplGlfw_Shutdown();
        }
        if (handle_ != nullptr) {
            ImGui::DestroyContext();
            glfwDestroyWindow(handle_);
        }
        if (initialised_) {
            glfwTerminate();
        }
    }

    Window() = default;
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;

    [[nodiscard]] GLFWwindow* handle() const noexcept { return handle_; }

    void set_full_screen(bool wanted) {
        const bool is = glfwGetWindowMonitor(handle_) != nullptr;
        if (wanted == is) {
            return;
        }
        if (wanted) {
            glfwGetWindowPos(handle_, &x_, &y_);
            glfwGetWindowSize(handle_, &width_, &height_);
            GLFWmonitor* monitor = glfwGetPrimaryMonitor();
            const GLFWvidmode* mode = monitor != nullptr ? glfwGetVideoMode(monitor) : nullptr;
            if (mode != nullptr) {
                glfwSetWindowMonitor(
                    handle_, monitor, 0, 0, mode->width, mode->height, mode->refreshRate);
            }
        } else {
            glfwSetWindowMonitor(handle_, nullptr, x_, y_, width_, height_, GLFW_DONT_CARE);
        }
    }

private:
    bool initialised_ = false;
    bool connected_ = false;
    GLFWwindow* handle_ = nullptr;
    int x_ = 0; // of the window before it filled the screen
    int y_ = 0;
    int width_ = 0;
    int height_ = 0;
};

/// Keeps the letters as sharp as the window's size wants them; while it is being resized they are stretched.
class Letters {
public:
    explicit Letters(FontFiles files) : files_(std::move(files)) {}

    /// True when the letters were cut anew, which takes longer than a frame.
    [[nodiscard]] Result<bool> fit(const TypeScale& wanted, double now_s) {
        if (wanted == built_for_) {
            return false;
        }
        if (!(wanted == wanted_)) {
            wanted_ = wanted;
            changed_at_s_ = now_s;
        }
        const bool first = book_empty_;
        if (!first && now_s - changed_at_s_ < kResizeSettles_s) {
            return false;
        }
        ImGui_ImplOpenGL3_DestroyFontsTexture();
        const auto built = book_.build(*ImGui::GetIO().Fonts, files_, wanted);
        if (!built) {
            return tl::unexpected(built.error());
        }
        ImGui_ImplOpenGL3_CreateFontsTexture();
        built_for_ = wanted;
        book_empty_ = false;
        return true;
    }

    [[nodiscard]] const FontBook& book() const noexcept { return book_; }

private:
    FontFiles files_;
    FontBook book_;
    bool book_empty_ = true;
    TypeScale built_for_{0.0F, 0.0F};
    TypeScale wanted_{0.0F, 0.0F};
    double changed_at_s_ = 0.0;
};

/// Draws the desk; false when it looks as it did, and nothing was sent to the screen. `anew`: it must be sent all the same.
bool paint(GLFWwindow* window,
           desk::Desk& desk,
           const FontBook& book,
           const TypeScale& scale,
           bool anew,
           std::uint64_t& last_print) {
    ImGui_ImplOpenGL3_NewFrame();
    ImGui_ImplGlfw_NewFrame();
    ImGui::NewFrame();
    const ImVec2 size = ImGui::GetIO().DisplaySize;
    draw_desk(desk, book, scale, size.x, size.y);
    ImGui::Render();
    int width = 0;
    int height = 0;
    glfwGetFramebufferSize(window, &width, &height);
    glViewport(0, 0, width, height);
    const Palette& palette = desk.preferences().dark ? dark_palette() : light_palette();
    const auto ground = (static_cast<std::uint64_t>(width * 32768 + height) << 32U) ^ palette.paper;
    const std::uint64_t print = print_of(*ImGui::GetDrawData(), ground);
    if (print == last_print && !anew) {
        return false;
    }
    last_print = print;
    const auto channel = [&palette](unsigned shift) {
        return static_cast<float>((palette.paper >> shift) & 0xFFU) / 255.0F;
    };
    glClearColor(channel(0), channel(8), channel(16), 1.0F);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    return true;
}

void show_folder_of(desk::Desk& desk) {
    const auto folder = desk.take_folder();
    if (!folder) {
        return;
    }
    std::error_code unknown;
    if (!std::filesystem::exists(*folder, unknown)) {
        desk.session().say("Nothing was saved yet; it will be in " + folder->string() + ".");
    } else if (!platform::show_folder(*folder)) {
        desk.session().say("No program for files was found here; they are in " + folder->string() +
                           ".");
    }
}

} // namespace

std::optional<int> run_window(const app::StartOptions& options) {
    Window window;
    if (!window.open()) {
        return std::nullopt;
    }
    const auto complain = [](const Error& error) {
        std::fprintf(stderr, "bellhand: %s\n", error.message.c_str());
        return 1;
    };
    auto files = find_fonts(font_folders());
    if (!files) {
        return complain(files.error());
    }
    if (!files->missing.empty()) {
        std::fprintf(
            stderr,
            "bellhand: fonts are missing, others stand in for them: %s; install Bellhand again.\n",
            files->missing.c_str());
    }
    Letters letters(std::move(*files));
    for (const std::string& sentence : desk::trouble_with_own_files()) {
        std::fprintf(stderr, "bellhand: %s\n", sentence.c_str());
    }
    // A file that cannot be understood was named on the way here; the usual settings serve.
    const app::Settings settings =
        app::load_settings(app::settings_path()).value_or(app::Settings{});
    desk::Desk desk(desk::real_ear(), desk_start(options, settings));
    if (options.opened_file) {
        desk.take_file(*options.opened_file);
    }
    Events events{&desk, glfwGetTime()};
    GLFWwindow* handle = window.handle();
    glfwSetWindowUserPointer(handle, &events);
    glfwSetKeyCallback(handle, on_key);
    glfwSetCharCallback(handle, on_character);
    glfwSetDropCallback(handle, on_drop);
    glfwSetCursorPosCallback(handle, on_pointer);
    glfwSetMouseButtonCallback(handle, on_button);
    glfwSetWindowRefreshCallback(handle, on_refresh);
    window.connect();

    FrameStatistics statistics;
    const bool measuring = std::getenv("BELLHAND_FRAME_STATISTICS") != nullptr;
    double last_sound_s = -1e9;
    std::uint64_t last_print = 0;
    double due_s = glfwGetTime();
    Pace pace = Pace::lively;
    while (glfwWindowShouldClose(handle) == GLFW_FALSE && !desk.wants_to_quit()) {
        const double event_before_s = events.last_s;
        for (double wait_s = due_s - glfwGetTime(); wait_s > 0.0; wait_s = due_s - glfwGetTime()) {
            // Sound that begins is shown at once: it does not wait for the next frame of silence.
            const bool silent =
                pace != Pace::hidden && desk.session().listening() && !sounds(desk.session());
            glfwWaitEventsTimeout(silent ? std::min(wait_s, kListen_s) : wait_s);
            if (silent) {
                desk.update(glfwGetTime());
                if (sounds(desk.session())) {
                    break;
                }
            }
            if (events.last_s != event_before_s) {
                due_s = std::min(due_s, events.last_s + frame_period_s(Pace::lively));
            }
        }
        glfwPollEvents();
        const double begin_s = glfwGetTime();
        desk.update(begin_s);
        if (const auto words = desk.take_clipboard()) {
            glfwSetClipboardString(handle, words->c_str());
        }
        show_folder_of(desk);
        window.set_full_screen(desk.full_screen());
        pace = glfwGetWindowAttrib(handle, GLFW_ICONIFIED) == GLFW_TRUE
                   ? Pace::hidden
                   : pace_of(desk, begin_s, events.last_s, last_sound_s);
        due_s = begin_s + frame_period_s(pace);
        if (pace == Pace::hidden) {
            continue;
        }
        int width = 0;
        int height = 0;
        glfwGetWindowSize(handle, &width, &height);
        const float content_scale = scale_of_window_units(handle, width);
        const TypeScale scale = type_scale_for(static_cast<float>(std::max(1, width)),
                                               static_cast<float>(std::max(1, height)),
                                               content_scale,
                                               desk.preferences().type_scale);
        const auto fitted = letters.fit(scale, begin_s);
        if (!fitted) {
            return complain(fitted.error());
        }
        const bool anew = *fitted || std::exchange(events.uncovered, false);
        if (!paint(handle, desk, letters.book(), scale, anew, last_print)) {
            continue;
        }
        const double work_s = glfwGetTime() - begin_s;
        glfwSwapBuffers(handle);
        if (measuring) {
            statistics.add(*fitted ? Pace::resting : pace, begin_s, work_s);
        }
    }
    remember(desk, options, settings);
    if (measuring) {
        std::fprintf(stderr, "%s\n", statistics.summary().c_str());
    }
    return 0;
}

} // namespace bellhand::gui
