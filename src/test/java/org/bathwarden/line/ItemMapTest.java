package org.bathwarden.line;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.Map;
import java.util.Set;
import org.bathwarden.signal.CurrentInput;
import org.bathwarden.signal.Input;
import org.bathwarden.signal.Pt100Input;
import org.junit.jupiter.api.Test;

/** Where items live. */
class ItemMapTest {

  private static Place.Register holding(int address, Encoding encoding) {
    return new Place.Register(Place.Table.HOLDING, 1, address, encoding, WordOrder.ABCD);
  }

  /** Source: the layout of the line contract, version 2. */
  @Test
  void theDefaultMapsAreTheContracts() {
    ItemMap map = ItemMap.modbusDefault(3);
    assertEquals(
        new Place.Register(Place.Table.INPUT, 1, 239, Encoding.F32, WordOrder.ABCD),
        map.mapping(Item.CHECK_F32).place());
    assertEquals(holding(213, Encoding.U32), map.mapping(Item.ORDER_COMMIT).place());
    assertEquals(
        new Place.Node("urn:x", "s=Line.Tank3.level_l", Encoding.F32),
        ItemMap.opcUaDefault(3, "urn:x").mapping(Item.LEVEL_L).place());
    assertEquals(List.of(), map.problems());
    assertEquals(List.of(), ItemMap.opcUaDefault(3, "urn:x").problems());
    assertEquals(Set.of(), map.unwired());
  }

  @Test
  void whatIsNotNamedIsNotWired() {
    ItemMap map = new ItemMap(1, Map.of(), Map.of());
    assertEquals(new Place.NotWired(), map.mapping(Item.PH).place());
    assertEquals(new PermitPlace.OwnBit(), map.permit(Permit.REMOTE));
  }

  private static void refused(String problem, ItemMap map) {
    assertTrue(
        map.problems().stream().anyMatch(found -> found.contains(problem)),
        map.problems().toString());
  }

  @Test
  void contradictionsAreNamedAllAtOnce() {
    ItemMap map = ItemMap.modbusDefault(1);
    Place.Register end = holding(65535, Encoding.F32);
    refused("level_l: address 65535", map.with(Item.LEVEL_L, Mapping.plain(end)));
    refused(
        "ph: unit id 256",
        map.with(
            Item.PH,
            Mapping.plain(
                new Place.Register(Place.Table.INPUT, 256, 0, Encoding.F32, WordOrder.ABCD))));
    refused(
        "ph: scale", map.with(Item.PH, new Mapping(new Place.Fixed(7), Conversion.linear(0, 1))));
    refused("check_u32: cannot be", map.with(Item.CHECK_U32, Mapping.plain(new Place.Fixed(1))));
    refused("order_kind: cannot be", map.with(Item.ORDER_KIND, Mapping.plain(new Place.Fixed(1))));
    refused(
        "order_kind: is written",
        map.with(
            Item.ORDER_KIND,
            Mapping.plain(
                new Place.Register(Place.Table.INPUT, 1, 3, Encoding.U16, WordOrder.ABCD))));
    refused(
        "ph: node identifier",
        map.with(Item.PH, Mapping.plain(new Place.Node("urn:x", "ph", Encoding.F32))));
    refused(
        "permits.remote: U16 has no bit 16",
        map.with(Permit.REMOTE, new PermitPlace.BitOf(holding(0, Encoding.U16), 16, false)));
    refused(
        "permits.remote: F32 has no bit",
        map.with(Permit.REMOTE, new PermitPlace.BitOf(holding(0, Encoding.F32), 0, false)));
    refused(
        "permits.remote: a bit needs",
        map.with(Permit.REMOTE, new PermitPlace.BitOf(new Place.Fixed(1), 0, false)));
    Place.Register word = holding(7, Encoding.U16);
    Input current = new CurrentInput(0, 14);
    refused(
        "loads_total.input: a number in mA can only be [level_l, temperature_c,",
        map.with(Item.LOADS_TOTAL, new Mapping(word, Conversion.NONE.from(current))));
    refused(
        "order_kind.input: a number in mA",
        map.with(Item.ORDER_KIND, new Mapping(word, Conversion.NONE.from(current))));
    refused(
        "ph.input: a number in ohm can only be [temperature_c]",
        map.with(Item.PH, new Mapping(word, Conversion.NONE.from(new Pt100Input(0)))));
    refused(
        "ph.input: a constant",
        map.with(Item.PH, new Mapping(new Place.Fixed(12), Conversion.NONE.from(current))));
    refused(
        "ph.input.current.at_20_ma: must differ",
        map.with(Item.PH, new Mapping(word, Conversion.NONE.from(new CurrentInput(7, 7)))));
    refused("tank number 0", new ItemMap(0, Map.of(), Map.of()));
    assertEquals(
        2, new ItemMap(0, Map.of(Item.LEVEL_L, Mapping.plain(end)), Map.of()).problems().size());
  }
}
