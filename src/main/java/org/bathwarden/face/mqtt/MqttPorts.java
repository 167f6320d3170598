package org.bathwarden.face.mqtt;

import java.time.InstantSource;
import org.bathwarden.face.Request;
import org.bathwarden.face.SeenRequests;
import org.bathwarden.face.TankModes;

/**
 * What the MQTT face needs from the others.
 *
 * @param outbox events to be delivered
 * @param seen ids of requests
 * @param sink where requests for the core go
 * @param modes which tanks there are, and their modes
 * @param refusals told of each refused request, for the record
 * @param wall wall clock, for stamps and for the expiry of requests
 */
public record MqttPorts(
    Outbox outbox,
    SeenRequests seen,
    Request.Sink sink,
    TankModes modes,
    Refusals refusals,
    InstantSource wall) {

  /** Takes note of refused requests. Called from the face's thread. */
  @FunctionalInterface
  public interface Refusals {
    /**
     * A request was refused.
     *
     * @param request its id; empty if it could not be read
     * @param reason why
     */
    void refused(String request, String reason);
  }
}
