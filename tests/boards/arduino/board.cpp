// A board on a computer: its power is cut at step DIE_AT, it knows the time only since it was told, and one run
// lasts until it sleeps.
#include "Arduino.h"

#include <filesystem>
#include <fstream>
#include <netinet/in.h>
#include <sstream>
#include <sys/socket.h>
#include <sys/time.h>
#include <csignal>
#include <unistd.h>

namespace fs = std::filesystem;

Flash LittleFS;
Radio WiFi;
Port Serial;
Chip ESP;

static void step() {  // one step further; at the chosen one everything ends at once
  static const int die_at = std::getenv("DIE_AT") ? std::atoi(std::getenv("DIE_AT")) : 0;
  static int steps = 0;
  if (++steps == die_at) std::raise(SIGKILL);
}

static std::string on_disk(const std::string& path) { return path.substr(path[0] == '/'); }

static long noted(const char* name, long unless = 0) {
  std::ifstream file(name);
  long number;
  return file >> number ? number : unless;
}

static void note(const char* name, long number) { std::ofstream(name) << number; }

static long real_time() {
  timespec moment;
  clock_gettime(CLOCK_REALTIME, &moment);
  return moment.tv_sec;
}

extern "C" time_t time(time_t*) noexcept {
  if (!fs::exists("began_at")) note("began_at", real_time());
  return real_time() + noted("rtc", 1000 - noted("began_at"));
}

extern "C" int settimeofday(const timeval* moment, const struct timezone*) noexcept {
  step();
  note("rtc", moment->tv_sec - real_time());
  return 0;
}

double sensor() {  // gives 1, 2, 3 and so on, each once, as a gauge that is emptied each time
  note("handed_out", noted("handed_out") + 1);
  return (double)noted("handed_out");
}

String::String(double number, int places) {
  char written[40];
  std::snprintf(written, sizeof written, "%.*f", places, number);
  text = written;
}

String String::substring(size_t from, size_t to) const {
  return from < text.size() ? text.substr(from, to - from) : std::string();
}

bool String::endsWith(const std::string& part) const {
  return text.size() >= part.size() && text.compare(text.size() - part.size(), part.size(), part) == 0;
}

File::File(const std::string& path, const std::string& mode) : path(path), mode(mode) {
  step();
  const std::string real = on_disk(path);
  if (fs::is_directory(real)) {
    for (const auto& entry : fs::directory_iterator(real)) content += entry.path().string() + "\n";
    good = true;
  } else if (mode == "r") {
    std::ifstream file(real);
    good = file.good();
    std::stringstream all;
    all << file.rdbuf();
    content = all.str();
  } else {
    out = std::fopen(real.c_str(), mode.c_str());
    good = out != nullptr;
  }
}

String File::readStringUntil(char end) {
  const size_t from = at, found = content.find(end, at);
  at = found == std::string::npos ? content.size() : found + 1;
  return content.substr(from, found - from);
}

File File::openNextFile() {
  const std::string next = readStringUntil('\n').text;
  return next.empty() ? File() : File("/" + next, "r");
}

void File::print(const String& given) {  // in two halves, for a power cut in between
  const std::string halves[] = {given.text.substr(0, given.length() / 2), given.text.substr(given.length() / 2)};
  for (const auto& half : halves) {
    std::fputs(half.c_str(), out);
    std::fflush(out);
    step();
  }
}

void File::close() {
  if (!out) return;
  std::fclose(out);
  out = nullptr;
  if (mode == "a") std::ofstream("written", std::ios::app) << noted("handed_out") << "\n";
  step();
}

void Flash::begin(bool) {}
void Flash::mkdir(const char* path) { fs::create_directory(on_disk(path)); }
bool Flash::exists(const String& path) { return fs::exists(on_disk(path.text)); }

void Flash::rename(const String& from, const String& to) {
  step();
  fs::rename(on_disk(from.text), on_disk(to.text));
  step();
}

void Flash::remove(const String& path) {
  step();
  fs::remove(on_disk(path.text));
  step();
}

void HTTPClient::addHeader(const char* name, const String& value) {
  headers += std::string(name) + ": " + value.text + "\r\n";
}

String HTTPClient::header(const char* name) const {
  const std::string opening = std::string("\n") + name + ": ";
  const size_t found = answered_headers.find(opening);
  if (found == std::string::npos) return "";
  const size_t from = found + opening.size(), to = answered_headers.find('\r', from);
  return to == std::string::npos ? std::string() : answered_headers.substr(from, to - from);
}

int HTTPClient::ask(const std::string& method, const std::string& body) {
  const size_t colon = url.rfind(':'), slash = url.find('/', colon);
  sockaddr_in hub = {};
  hub.sin_family = AF_INET;
  hub.sin_port = htons((uint16_t)std::stoi(url.substr(colon + 1)));
  hub.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  std::string request = method + " " + url.substr(slash) + " HTTP/1.0\r\nHost: 127.0.0.1\r\n" + headers;
  request += "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n";
  const int line = socket(AF_INET, SOCK_STREAM, 0);
  step();
  std::string answer;
  if (connect(line, (sockaddr*)&hub, sizeof hub) == 0) {
    for (const std::string& part : {request, body}) {
      step();
      if (send(line, part.data(), part.size(), MSG_NOSIGNAL) < 0) break;
    }
    step();
    char some[4096];
    for (ssize_t got; (got = recv(line, some, sizeof some, 0)) > 0;) answer.append(some, (size_t)got);
    step();
  }
  ::close(line);
  const size_t first = answer.find("\r\n");
  if (first == std::string::npos || answer.rfind("HTTP/1.", 0) != 0) return -1;
  const size_t end = answer.find("\r\n\r\n");
  answered_headers = answer.substr(0, end);
  if (end != std::string::npos) answered = answer.substr(end + 4);
  return std::atoi(answer.c_str() + 9);
}

void Radio::begin(const char*, const char*) { step(); }

void Chip::deepSleep(uint64_t) {
  std::fflush(stdout);
  _exit(0);
}

unsigned long millis() { return 0; }
void delay(long) {}
long random(long below) { return below ? real_time() % below : 0; }

int main() {
  setup();
  while (true) loop();
}
