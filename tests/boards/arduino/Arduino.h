// As much of a board's libraries as the program needs, for a computer. What they do is in board.cpp.
#pragma once
#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
using std::max;
using std::min;

class String {
 public:
  String(const char* text = "") : text(text) {}
  String(const std::string& text) : text(text) {}
  explicit String(int number) : text(std::to_string(number)) {}
  explicit String(long number) : text(std::to_string(number)) {}
  String(double number, int places);
  size_t length() const { return text.size(); }
  int indexOf(char c) const { return (int)text.find(c); }
  int indexOf(char c, size_t from) const { return (int)text.find(c, from); }
  int indexOf(const String& part) const { return (int)text.find(part.text); }
  int lastIndexOf(char c) const { return (int)text.rfind(c); }
  String substring(size_t from, size_t to = std::string::npos) const;
  bool startsWith(const char* part) const { return text.rfind(part, 0) == 0; }
  bool endsWith(const std::string& part) const;
  long toInt() const { return std::atol(text.c_str()); }
  String& operator+=(const String& more) { text += more.text; return *this; }
  friend String operator+(const String& a, const String& b) { return a.text + b.text; }
  friend bool operator<(const String& a, const String& b) { return a.text < b.text; }
  friend bool operator>(const String& a, const String& b) { return a.text > b.text; }
  friend bool operator>=(const String& a, const String& b) { return a.text >= b.text; }
  std::string text;
};

class File {
 public:
  File() {}
  File(const std::string& path, const std::string& mode);
  explicit operator bool() const { return good; }
  bool available() const { return at < content.size(); }
  String readStringUntil(char end);
  size_t size() const { return content.size(); }
  const char* name() const { return path.c_str(); }
  void print(const String& text);
  File openNextFile();
  void close();

 private:
  std::string path, mode, content;
  size_t at = 0;
  bool good = false;
  std::FILE* out = nullptr;
};

struct Flash {
  void begin(bool format_if_needed);
  void mkdir(const char* path);
  bool exists(const String& path);
  File open(const String& path, const char* mode) { return File(path.text, mode); }
  void rename(const String& from, const String& to);
  void remove(const String& path);
};
extern Flash LittleFS;

class WiFiClient {};
struct WiFiClientSecure : WiFiClient {
  void setInsecure() {}
  void setCACert(const char*) {}
};

class HTTPClient {
 public:
  void begin(WiFiClient&, const String& address) { url = address.text; }
  void collectHeaders(const char**, int) {}
  void setTimeout(int) {}
  void addHeader(const char* name, const String& value);
  int GET() { return ask("GET", ""); }
  int POST(const String& body) { return ask("POST", body.text); }
  String header(const char* name) const;
  String getString() const { return answered; }
  void end() {}

 private:
  int ask(const std::string& method, const std::string& body);
  std::string url, headers, answered_headers, answered;
};

const int WIFI_STA = 1, WL_CONNECTED = 3;
struct Radio {
  void mode(int) {}
  void begin(const char*, const char*);
  int status() { return WL_CONNECTED; }
};
extern Radio WiFi;

struct Port {
  void begin(int) {}
  void println(const String& text) { std::printf("%s\n", text.text.c_str()); }
};
extern Port Serial;

struct Chip {
  [[noreturn]] void deepSleep(uint64_t microseconds);
};
extern Chip ESP;

unsigned long millis();
void delay(long);
long random(long below);
double sensor();
void setup();
void loop();
