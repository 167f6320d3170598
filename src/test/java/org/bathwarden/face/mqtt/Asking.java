package org.bathwarden.face.mqtt;

/** Requests as a panel would write them. */
final class Asking {
  static final String TOPIC = "bathwarden/" + Rig.SITE + "/request";
  private static final String REPLY = "bathwarden/" + Rig.SITE + "/reply/panel-4";

  private Asking() {}

  static String acknowledge(String id) {
    return acknowledge(id, "2026-03-02T12:05:00Z");
  }

  static String acknowledge(String id, String expiresAt) {
    return head(id, expiresAt)
        + ",\"type\":\"acknowledge\",\"tank\":\"wash-1\",\"alarm\":\"level-low\"}";
  }

  static String mode(String id, String mode) {
    return head(id, "2026-03-02T12:05:00Z")
        + ",\"type\":\"mode\",\"tank\":\"wash-1\",\"mode\":\""
        + mode
        + "\"}";
  }

  static String eventsSince(String id, long after, int most) {
    return head(id, "2026-03-02T12:05:00Z")
        + ",\"type\":\"events_since\",\"after\":"
        + after
        + ",\"most\":"
        + most
        + "}";
  }

  private static String head(String id, String expiresAt) {
    return "{\"id\":\""
        + id
        + "\",\"issued_at\":\"2026-03-02T11:59:50Z\",\"expires_at\":\""
        + expiresAt
        + "\",\"author\":\"R. Vale\",\"reply_to\":\""
        + REPLY
        + "\"";
  }
}
