/**
 * What people and their screens see and send, as plain records and their JSON, shared by all faces:
 * payloads of states, alarms, events and replies, and the one reader of requests.
 */
@NullMarked
package org.bathwarden.face;

import org.jspecify.annotations.NullMarked;
