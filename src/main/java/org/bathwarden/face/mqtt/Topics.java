package org.bathwarden.face.mqtt;

/** All topics of one site. */
final class Topics {
  private final String root;

  Topics(String site) {
    root = "bathwarden/" + site;
  }

  String status() {
    return root + "/status";
  }

  String state(String tank) {
    return root + "/tank/" + level(tank) + "/state";
  }

  String alarm(String tank, String alarm) {
    return root + "/tank/" + level(tank) + "/alarm/" + level(alarm);
  }

  /** A name as one topic level: what has a meaning in topics is replaced. */
  private static String level(String name) {
    return name.replaceAll("[^A-Za-z0-9._-]", "_");
  }

  String event() {
    return root + "/event";
  }

  String request() {
    return root + "/request";
  }

  /** What every reply address starts with. */
  String replies() {
    return root + "/reply/";
  }

  /** Where a refusal goes whose reply address could not be read. */
  String unaddressed() {
    return root + "/reply/unaddressed";
  }

  /** Where replayed events go: one level below the reply address. */
  String replay(String replyTo) {
    return replyTo + "/event";
  }
}
