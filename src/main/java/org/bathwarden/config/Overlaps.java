package org.bathwarden.config;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.stream.Collectors;
import org.bathwarden.line.Item;
import org.bathwarden.line.ItemMap;
import org.bathwarden.line.Permit;
import org.bathwarden.line.PermitPlace;
import org.bathwarden.line.Place;
import org.bathwarden.line.Slot;

/**
 * Finds two things mapped to one place, or to overlapping registers, over all tanks and connections
 * of a PLC. Only what a configuration moved is refused: the contract's own places never overlap.
 *
 * <p>Shared on purpose may be a word of bits, and between tanks what belongs to the PLC or to a
 * common supply rather than to one bath. The measurements of a bath, its words of an order and all
 * that is written are one tank's alone: two tanks that read one probe, one of them does by mistake.
 */
final class Overlaps {

  private static final List<String> MOVES = List.of("register", "node", "function", "unit", "type");

  private static final Set<Item> BITS = EnumSet.of(Item.PERMITS, Item.FAULTS);

  private static final Set<Item> SHARED =
      EnumSet.of(
          Item.PLC_HEARTBEAT,
          Item.CONTRACT_VERSION,
          Item.CHECK_F32,
          Item.CHECK_U32,
          Item.CONCENTRATE_TOTAL_ML,
          Item.WATER_TOTAL_ML,
          Item.LOADS_TOTAL,
          Item.LIMIT_CONCENTRATE_ML,
          Item.LIMIT_WATER_ML,
          Item.LIMIT_TIME_S);

  private final Map<String, List<Claim>> taken = new HashMap<>();
  private final List<Claim> moved = new ArrayList<>();
  private int claims;

  /**
   * One slot of one tank with its place.
   *
   * @param path where it stands, or would stand, in the document
   * @param moved whether the configuration put it there
   * @param bit of a permit
   */
  private record Claim(
      int number,
      Section tank,
      Slot slot,
      Place place,
      List<String> cells,
      String path,
      boolean moved,
      OptionalInt bit) {

    boolean bits() {
      return slot.permit().isPresent() || BITS.contains(slot.item());
    }

    boolean mayShare(Claim other) {
      boolean samePlace = place.equals(other.place);
      boolean common = !tank.equals(other.tank) && slot.equals(other.slot);
      return samePlace && (bits() && other.bits() || common && SHARED.contains(slot.item()));
    }

    String words() {
      return tank.at(path) + (moved ? "" : ", which the contract puts") + " at " + place.words();
    }
  }

  /** Notes where the items of {@code tank} lie at the PLC of {@code address}. */
  void add(Section tank, String address, ItemMap map) {
    for (Item item : Item.values()) {
      String path = "points." + item.contractName();
      Section point = tank.section("points").section(item.contractName());
      boolean said = MOVES.stream().anyMatch(point::has);
      claim(
          tank, address, Slot.of(item), map.mapping(item).place(), path, said, OptionalInt.empty());
    }
    for (Permit permit : Permit.values()) {
      if (map.permit(permit) instanceof PermitPlace.BitOf bit) {
        String path = "permits." + Section.word(permit);
        OptionalInt number = OptionalInt.of(bit.bit());
        claim(tank, address, Slot.of(permit), bit.place(), path, true, number);
      }
    }
  }

  private void claim(
      Section tank,
      String address,
      Slot slot,
      Place place,
      String path,
      boolean said,
      OptionalInt bit) {
    Claim claim = new Claim(claims++, tank, slot, place, cells(address, place), path, said, bit);
    for (String cell : claim.cells()) {
      taken.computeIfAbsent(cell, key -> new ArrayList<>()).add(claim);
    }
    if (claim.moved()) {
      moved.add(claim);
    }
  }

  private static List<String> cells(String address, Place place) {
    List<String> cells = new ArrayList<>();
    if (place instanceof Place.Register register) {
      for (int i = 0; i < register.encoding().registers(); i++) {
        cells.add(address + " " + register.unit() + register.table() + (register.address() + i));
      }
    } else if (place instanceof Place.Node node) {
      cells.add(address + " " + node.namespaceUri() + " " + node.identifier());
    }
    return cells;
  }

  /** Adds a problem for everything that was moved onto something else. */
  void report(List<Problem> problems) {
    for (Claim claim : moved) {
      Set<Claim> met = new LinkedHashSet<>();
      claim.cells().forEach(cell -> met.addAll(taken.getOrDefault(cell, List.of())));
      // Of two that were moved the later one is named.
      met.removeIf(other -> other.moved() && other.number() >= claim.number());
      String clash =
          met.stream()
              .filter(other -> !claim.mayShare(other))
              .map(Claim::words)
              .collect(Collectors.joining(" and "));
      if (!clash.isEmpty()) {
        problems.add(
            claim.tank().error(claim.path(), claim.place().words() + " overlaps " + clash));
      }
      met.stream()
          .filter(other -> claim.bit().isPresent() && claim.bit().equals(other.bit()))
          .filter(other -> claim.mayShare(other) && !claim.slot().equals(other.slot()))
          .findFirst()
          .ifPresent(
              other ->
                  problems.add(
                      claim
                          .tank()
                          .warning(
                              claim.path(),
                              "is the same bit as "
                                  + other.tank().at(other.path())
                                  + ": one wire stands for two permits")));
    }
  }
}
