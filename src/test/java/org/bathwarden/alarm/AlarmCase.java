package org.bathwarden.alarm;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.datatype.jdk8.Jdk8Module;
import com.fasterxml.jackson.datatype.jsr310.JavaTimeModule;

/** The alarms of one tank, step by step. */
abstract class AlarmCase {
  static final AlarmKey PLAIN = AlarmKey.CONCENTRATION_LOW;
  static final AlarmKey LATCHING = AlarmKey.FAST_LOSS;
  final Bench bench = new Bench();

  static AlarmState throughJson(AlarmState state) throws JsonProcessingException {
    ObjectMapper mapper =
        new ObjectMapper().registerModules(new Jdk8Module(), new JavaTimeModule());
    return mapper.readValue(mapper.writeValueAsString(state), AlarmState.class);
  }
}
